package leaveout_test

import (
	"math"
	"slices"
	"testing"

	"commensal/internal/stocking/graph"
	"commensal/internal/stocking/leaveout"

	"pgregory.net/rapid"
)

// list is a drawn list of a few lines with conflicts between two, and three that cannot all stay.
type list struct {
	weight         []float64
	hard           [][2]int
	soft           [][]int
	forced, pinned graph.Set
	burden         *leaveout.Burden
}

func drawList(t *rapid.T) *list {
	n := rapid.IntRange(1, 8).Draw(t, "lines")
	l := &list{}
	line := rapid.IntRange(0, n-1)
	for i := range n {
		l.weight = append(l.weight, float64(rapid.IntRange(1, 4).Draw(t, "weight")))
		switch rapid.IntRange(0, 9).Draw(t, "duty") {
		case 0:
			l.forced.Add(i)
		case 1:
			l.pinned.Add(i)
		}
	}
	for range rapid.IntRange(0, n).Draw(t, "hard") {
		if a, b := line.Draw(t, "a"), line.Draw(t, "b"); a != b && !(l.pinned.Has(a) && l.pinned.Has(b)) {
			l.hard = append(l.hard, [2]int{a, b})
		}
	}
	for range rapid.IntRange(0, 3).Draw(t, "soft") {
		some := rapid.SliceOfNDistinct(line, 1, min(n, 4), rapid.ID[int]).Draw(t, "together")
		l.soft = append(l.soft, some)
	}
	if rapid.Bool().Draw(t, "heavy") {
		l.burden = &leaveout.Burden{Weight: l.weight, Room: rapid.Float64Range(0, 6).Draw(t, "room")}
		for range n {
			l.burden.Part = append(l.burden.Part, rapid.Float64Range(0.1, 3).Draw(t, "part"))
		}
		l.burden.Prepare()
	}
	return l
}

// broken are lines that cannot all stay beside each other.
func (l *list) broken(out graph.Set) []int {
	for _, some := range l.soft {
		if !out.Meets(graph.SetOf(some...)) {
			return some
		}
	}
	if l.burden != nil && l.burden.Heavy(out) {
		var stay []int
		for i := range l.weight {
			if !out.Has(i) {
				stay = append(stay, i)
			}
		}
		return stay
	}
	return nil
}

func (l *list) problem() *leaveout.Problem {
	p := &leaveout.Problem{Hard: graph.New(len(l.weight)), Weight: l.weight, Forced: l.forced, Pinned: l.pinned, Broken: l.broken}
	for _, e := range l.hard {
		p.Hard.AddEdge(e[0], e[1])
	}
	if l.burden != nil {
		p.Bound = l.burden.Bound
	}
	return p
}

// clears reports whether leaving out a set clears the list.
func (l *list) clears(out graph.Set) bool {
	for i := range l.weight {
		if l.forced.Has(i) && !out.Has(i) || l.pinned.Has(i) && out.Has(i) {
			return false
		}
	}
	for _, e := range l.hard {
		if !out.Has(e[0]) && !out.Has(e[1]) {
			return false
		}
	}
	return l.broken(out) == nil
}

// cheapest tries every set.
func (l *list) cheapest() (best float64) {
	best = math.Inf(1)
	for bits := range 1 << len(l.weight) {
		var out graph.Set
		cost := 0.0
		for i := range l.weight {
			if bits>>i&1 == 1 {
				out.Add(i)
				cost += l.weight[i]
			}
		}
		if cost < best && l.clears(out) {
			best = cost
		}
	}
	return best
}

func TestTheSearchIsAsGoodAsTryingAll(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		l := drawList(t)
		got, want := l.problem().Search(), l.cheapest()
		if math.IsInf(want, 1) {
			if got.Sets != nil || !got.Optimal {
				t.Fatalf("nothing clears the list, found %+v", got)
			}
			return
		}
		if !got.Optimal || math.Abs(got.Cost-want) > 1e-9 || got.Bound > want+1e-9 || len(got.Sets) == 0 {
			t.Fatalf("found %+v, the cheapest costs %v", got, want)
		}
		for _, set := range got.Sets {
			if !l.clears(graph.SetOf(set...)) {
				t.Fatalf("%v does not clear the list", set)
			}
		}
	})
}

func TestSetsComeInOrderOfCostEachOnce(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 7).Draw(t, "lines")
		weight := rapid.SliceOfN(rapid.Float64Range(0.1, 5), n, n).Draw(t, "weight")
		always := []int{0}
		var rest []int
		for i := 1; i < n; i++ {
			rest = append(rest, i)
		}
		sets, seen, last := leaveout.InOrderOfCost(weight, rest, always), map[string]bool{}, int64(0)
		for {
			set, cost, ok := sets.Next()
			if !ok {
				break
			}
			sum, name := int64(0), ""
			for _, i := range set {
				sum, name = sum+leaveout.Steps(weight[i]), name+string(rune('a'+i))
			}
			if cost < last || cost != sum || seen[name] || !slices.IsSorted(set) || set[0] != 0 {
				t.Fatalf("%v for %d after %d", set, cost, last)
			}
			seen[name], last = true, cost
		}
		if len(seen) != 1<<(n-1) {
			t.Fatalf("%d sets of %d", len(seen), 1<<(n-1))
		}
	})
}

func TestTheWarmestLineThatStaysSetsTheBurden(t *testing.T) {
	t.Parallel()
	b := leaveout.Burden{Part: []float64{2, 2, 2}, Room: 5, Weight: []float64{1, 1, 1}, Warmth: []float64{1, 0.5, 2}, Ranged: []bool{true, true, false}}
	b.Prepare()
	for _, c := range []struct {
		out   []int
		heavy bool
	}{
		{nil, true},             // 6 at the warmth of the first
		{[]int{1}, false},       // 4 at 1: the third has no range and sets nothing
		{[]int{0}, false},       // 4 at 0.5
		{[]int{0, 1}, false},    // 2 at the third's own factor
		{[]int{0, 1, 2}, false}, // nothing
	} {
		if got := b.Heavy(graph.SetOf(c.out...)); got != c.heavy {
			t.Errorf("without %v: %v", c.out, got)
		}
	}
}
