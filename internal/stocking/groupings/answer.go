package groupings

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
)

// actual is a group as a list of its own, prepared anew: with the company that the fish
// have in this tank.
func (sp *split) actual(tank *stocking.Tank, lines []int) *stocking.Assessment {
	s := stocking.Stock{Tank: tank, Wanted: sp.Wanted, Region: sp.Region, Budget: sp.Budget, Lines: make([]stocking.Line, len(lines))}
	for k, i := range lines {
		s.Lines[k] = sp.Lines[i].Line
	}
	j := stocking.NewAssessmentFrom(sp.Book, &s, sp.given)
	j.Together = true
	return j
}

// grouping writes out lines that were judged in their tank, or judges them in full where
// words are wanted. The canonical order of a part of the list is that of the list.
func (sp *split) grouping(j *stocking.Assessment, lines []int) Grouping {
	if sp.plain {
		return Grouping{Lines: lines, Decision: j.Decision}
	}
	j.JudgeInFull()
	g := Grouping{Lines: lines, Decision: j.Decision, Windows: j.SharedWater().Windows}
	pairings := j.WorstFirst()
	g.Summary = j.Summary(j.Told())
	if o := g.Summary.Observed; o != nil {
		o.Line = lines[o.Line]
	}
	if len(pairings) > 0 {
		w := pairings[0]
		w.First, w.Second = lines[w.First], lines[w.Second]
		g.Worst = &w
	}
	sp.cautions.Add(j.Cautions())
	return g
}

// finish completes the answer: the cautions of what has no place, and the summary.
func (sp *split) finish() {
	sp.out.Complete = !sp.cutShort() && !sp.Budget.Ended()
	if sp.plain {
		return
	}
	for _, u := range sp.out.Unplaced {
		sp.cautions.Add(sp.Part(nil, u.Lines).Cautions())
	}
	sp.out.Cautions = sp.cautions.Sorted()
	sp.out.Summary = sp.out.summary()
}

// summary picks the sentence that says how far the tanks go.
func (g *Groupings) summary() conflict.Statement {
	placed := 0
	for i := range g.Groups {
		placed += len(g.Groups[i].Lines)
	}
	code := g.fewestCode(placed)
	if g.Given {
		code = g.givenCode(placed)
	}
	number := func(name string, n int) conflict.Evidence { return conflict.Evidence{Name: name, Value: float64(n)} }
	return conflict.Statement{Code: code, Evidence: []conflict.Evidence{
		number("tanks", len(g.Groups)), number("least", g.LowerBound), number("placed", placed), number("lines", len(g.Lines)),
	}}
}

func (g *Groupings) fewestCode(placed int) stocking.Code {
	switch {
	case placed == 0:
		return SplitNothing
	case placed < len(g.Lines):
		return SplitNotAll
	case len(g.Groups) == 1:
		return SplitOne
	case g.Optimal:
		return SplitFewest
	}
	return SplitUnproved
}

func (g *Groupings) givenCode(placed int) stocking.Code {
	switch {
	case placed == 0:
		return GivenNothing
	case placed == len(g.Lines):
		return GivenAll
	case g.Optimal:
		return GivenMost
	}
	return GivenUnproved
}

// unplaced explains a unit without a place in the given tanks by the tank that came
// nearest: one in which it could live alone before one in which it could not, then the
// one where its worst pairing is mildest, then the larger one.
func (sp *split) unplaced(u int, tanks []stocking.Tank, alike []int, single [][]*stocking.Assessment, held []graph.Set) Unplaced {
	out := Unplaced{Lines: sp.units[u], Tank: -1}
	var best nearness
	for bin := range tanks {
		if single[alike[bin]] == nil {
			continue // a kind of tank that the budget did not reach
		}
		n := sp.nearness(u, &tanks[bin], single[alike[bin]][u], held[bin])
		if out.Tank < 0 || n.nearerThan(&best) {
			best, out.Tank = n, bin
		}
	}
	j, lines, mine := single[alike[out.Tank]][u], sp.units[u], graph.Set{}
	if best.alone {
		group := held[out.Tank]
		group.Add(u)
		lines = sp.linesOf(group)
		mine = positions(lines, sp.units[u])
		j = sp.JudgePart(&tanks[out.Tank], lines)
	}
	if out.With, out.Reason = j.HoldReason(mine); out.With >= 0 {
		out.With = lines[out.With]
	}
	return out
}

// positions are the places of some lines in an ascending list of lines.
func positions(lines, some []int) (at graph.Set) {
	for k, i := range lines {
		if slices.Contains(some, i) {
			at.Add(k)
		}
	}
	return at
}

// nearness is how near a tank came to taking a unit.
type nearness struct {
	alone bool    // it could live there alone
	worst float64 // its worst pairing there
	size  float64 // cm² of floor, else litres
}

// nearness compares a unit with what a tank holds; single is the unit alone there.
func (sp *split) nearness(u int, tank *stocking.Tank, single *stocking.Assessment, held graph.Set) nearness {
	n := nearness{alone: single.Decision < stocking.Hold, size: tank.LengthCM * tank.WidthCM}
	if n.size == 0 {
		n.size = tank.Volume()
	}
	for i := range single.Pairs {
		n.worst = max(n.worst, single.Pairs[i].Score)
	}
	if !n.alone {
		return n
	}
	j := sp.In(tank)
	for v := held.Next(0); v >= 0; v = held.Next(v + 1) {
		for _, x := range sp.units[u] {
			for _, y := range sp.units[v] {
				c := stocking.ConditionsIn(sp.Lines[x].Profile, sp.Lines[y].Profile, j.PairTank())
				n.worst = max(n.worst, sp.ValueOf(&sp.Lines[x], &sp.Lines[y], &c))
			}
		}
	}
	return n
}

func (n *nearness) nearerThan(o *nearness) bool {
	switch {
	case n.alone != o.alone:
		return n.alone
	case n.worst != o.worst:
		return n.worst < o.worst
	}
	return n.size > o.size
}
