package lists_test

import (
	"math"
	"slices"
	"testing"

	"commensal/api/gen"

	"pgregory.net/rapid"
)

// lacking reports whether an answer still has what leaving out is to clear: a stop, but for one that only
// says to wait or to sell less, or a pairing above the wanted level.
func lacking(told *gen.Check) bool {
	return slices.ContainsFunc(told.Findings, func(f gen.Finding) bool { return f.Severity == "stop" && !postpones(f) })
}

// postpones reports a stop that speaks of the whole tank, too full or too new for what joins: nothing that
// lives there need be left out for it.
func postpones(f gen.Finding) bool {
	return len(f.Lines) == 0 && f.Code != "no_shared_water" && f.Code != "load_too_heavy"
}

// cleared sends the list without some lines, and reports whether nothing is left to clear.
func (c *claim) cleared(b basket, out []int) bool {
	rest := b.without(out)
	if len(rest.fish()) == 0 {
		return true
	}
	then := c.check(rest)
	return !lacking(&then)
}

// No set of lines costs less to leave out than those told, each of them clears the list when it is sent
// again, and where the sets are told as complete there is no other of that cost. Residents are left out only
// where leaving out what joins is not enough.
func TestClaimsNoSetCostsLessToLeaveOut(t *testing.T) {
	claims(t, 40, func(c *claim) {
		b := c.basket(1, 5)
		b.Residents, b.Incoming = unlike(b.Residents), unlike(b.Incoming)
		b = b.each(func(_ int, f *fish) bool {
			f.Keep = rapid.IntRange(0, 5).Draw(c.T, "keep") == 0
			f.Weight = float64(rapid.IntRange(1, 3).Draw(c.T, "weight"))
			return true
		})
		told := c.check(b)
		places := b.places(told.Lines)
		residents := c.residentsStay(b, &told, places)
		best, sets := math.Inf(1), map[int]bool{} // by the lines of the answer
		for set := range 1 << len(places) {
			cost, out, kept := priced(&told, places, set)
			if kept || set&residents != 0 || cost > best+1e-9 || !c.cleared(b, out) {
				continue
			}
			if cost < best-1e-9 {
				best, sets = cost, map[int]bool{}
			}
			sets[set] = true
		}
		c.leavesOut(b, &told, best, sets)
	})
}

// residentsStay is the set of the answer's lines that live in the tank, where leaving out what joins is
// enough; else the empty set.
func (c *claim) residentsStay(b basket, told *gen.Check, places [][]int) (set int) {
	var join []int
	for line := range told.Lines {
		switch l := &told.Lines[line]; {
		case !l.Incoming:
			set |= 1 << line
		case !l.Keep:
			join = append(join, places[line]...)
		}
	}
	if len(join) == 0 || !c.cleared(b, join) {
		return 0
	}
	return set
}

// priced is what it costs to leave out a set of the answer's lines, where they stand in the request, and
// whether one of them must stay.
func priced(told *gen.Check, places [][]int, set int) (cost float64, out []int, kept bool) {
	for line, at := range places {
		if set&(1<<line) != 0 {
			cost, out, kept = cost+told.Lines[line].Weight, append(out, at...), kept || told.Lines[line].Keep
		}
	}
	return cost, out, kept
}

func (c *claim) leavesOut(b basket, told *gen.Check, best float64, sets map[int]bool) {
	c.Helper()
	l := &told.LeaveOut
	show := func() string { return text(b) + "\n" + text(l) }
	if math.IsInf(best, 1) {
		if len(l.Pinned) == 0 {
			c.Fatalf("nothing helps, and nothing is told that must stay\n%s", show())
		}
		return
	}
	if len(l.Pinned) > 0 {
		c.Fatalf("a set of cost %v helps, and conflicts are told that no set clears\n%s", best, show())
	}
	if l.Bound > best+1e-6 || l.Optimal && math.Abs(l.Cost-best) > 1e-6 || l.Optimal && best > 0 && len(l.Sets) == 0 {
		c.Fatalf("of all sets the least costs %v\n%s", best, show())
	}
	for _, set := range l.Sets {
		picked := 0
		for _, x := range set.Lines {
			picked |= 1 << x.Line
		}
		cost, out, kept := priced(told, b.places(told.Lines), picked)
		if kept || math.Abs(cost-l.Cost) > 1e-6 || !c.cleared(b, out) {
			c.Fatalf("set %v costs %v and clears the list: %v\n%s", out, cost, c.cleared(b, out), show())
		}
	}
	if l.Complete && best > 0 && len(l.Sets) != len(sets) {
		c.Fatalf("%d sets told as all there are, of %d\n%s", len(l.Sets), len(sets), show())
	}
}
