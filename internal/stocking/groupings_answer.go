package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking/graph"
)

// actual is a group as a list of its own, prepared anew: with the company that the fish
// have in this tank.
func (sp *split) actual(tank *Tank, lines []int) *judging {
	s := Stock{Tank: tank, Wanted: sp.wanted, Lines: make([]Line, len(lines))}
	for k, i := range lines {
		s.Lines[k] = sp.lines[i].Line
	}
	return prepareLike(sp.book, &s, sp.given)
}

// grouping judges a group in its tank and writes it out. The canonical order of a part
// of the list is that of the list.
func (sp *split) grouping(tank *Tank, lines []int) Grouping {
	j := sp.actual(tank, lines)
	if sp.plain {
		return Grouping{Lines: lines, Decision: j.judge()}
	}
	j.judgeFully()
	g := Grouping{Lines: lines, Decision: j.decision, Windows: j.sharedWater().Windows}
	pairings := j.worstFirst()
	g.Summary = j.summary(pairings)
	if o := g.Summary.Observed; o != nil {
		o.Line = lines[o.Line]
	}
	if len(pairings) > 0 {
		w := pairings[0]
		w.First, w.Second = lines[w.First], lines[w.Second]
		g.Worst = &w
	}
	sp.cautions.add(j.cautions())
	return g
}

// finish completes the answer: the cautions of what has no place, and the summary.
func (sp *split) finish() {
	if sp.plain {
		return
	}
	for _, u := range sp.out.Unplaced {
		sp.cautions.add(sp.only(nil, u.Lines).cautions())
	}
	sp.out.Cautions = sp.cautions.sorted()
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

func (g *Groupings) fewestCode(placed int) Code {
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

func (g *Groupings) givenCode(placed int) Code {
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

// holdReason is why a judged group is a hold, as it concerns some of its lines (none for
// any): the worst pairing above the wanted level, else a stop, else crowding. With is a
// position in the group, OwnKind or TheTank.
func holdReason(j *judging, mine graph.Set) (with int, reason conflict.Statement) {
	if p := j.worstPair(func(p *pair) bool { return concerns(mine, p.first, p.second) && j.above(p.level) }); p != nil {
		return against(j, mine, p.first, p.second), j.summaryOf(*p)
	}
	f := j.chiefFinding(mine)
	if f == nil {
		return TheTank, conflict.Statement{Code: ReasonMakesRoom, Actor: j.lines[max(mine.Next(0), 0)].species}
	}
	if pairwise := f.Code() == NoSharedWater || isAhead(f.Code()); pairwise {
		return against(j, mine, f.Lines[0], f.Lines[len(f.Lines)-1]), f.Statement
	}
	return TheTank, f.Statement
}

// concerns reports whether any of some lines is among mine, or mine is empty.
func concerns(mine graph.Set, lines ...int) bool {
	return mine.Empty() || mine.Meets(graph.SetOf(lines...))
}

// against is who a pairing of a group stands between, as seen from some of its lines.
func against(j *judging, mine graph.Set, first, second int) int {
	switch {
	case mine.Empty() || j.lines[first].kind == j.lines[second].kind:
		return OwnKind
	case mine.Has(first):
		return second
	}
	return first
}

// chiefFinding is the first stop that concerns some lines, else any stop, else what says
// that the tank is crowded; nil where there is none.
func (j *judging) chiefFinding(mine graph.Set) (chief *Finding) {
	for i := range j.findings {
		f := &j.findings[i]
		if f.Severity != Stop {
			break
		}
		if chief == nil {
			chief = f
		}
		if concerns(mine, f.Lines...) {
			return f
		}
	}
	for i := 0; chief == nil && i < len(j.findings); i++ {
		switch f := &j.findings[i]; f.Code() {
		case GroundCrowded, ZoneCrowded, TankCrowded:
			chief = f
		}
	}
	return chief
}

// unplaced explains a unit without a place in the given tanks by the tank that came
// nearest: one in which it could live alone before one in which it could not, then the
// one where its worst pairing is mildest, then the larger one.
func (sp *split) unplaced(u int, tanks []Tank, alike []int, single [][]*judging, held []graph.Set) Unplaced {
	out := Unplaced{Lines: sp.units[u], Tank: -1}
	var best nearness
	for bin := range tanks {
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
		j = sp.judgeOnly(&tanks[out.Tank], lines)
	}
	if out.With, out.Reason = holdReason(j, mine); out.With >= 0 {
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
func (sp *split) nearness(u int, tank *Tank, single *judging, held graph.Set) nearness {
	n := nearness{alone: single.decision < Hold, size: tank.LengthCM * tank.WidthCM}
	if n.size == 0 {
		n.size = tank.Volume()
	}
	for i := range single.pairs {
		n.worst = max(n.worst, single.pairs[i].value)
	}
	if !n.alone {
		return n
	}
	j := sp.in(tank)
	for v := held.Next(0); v >= 0; v = held.Next(v + 1) {
		for _, x := range sp.units[u] {
			for _, y := range sp.units[v] {
				c := conflict.ConditionsFor(sp.lines[x].profile, sp.lines[y].profile, j.pairTank())
				n.worst = max(n.worst, sp.book.Model.Value(sp.lines[x].profile, sp.lines[y].profile, &c))
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
