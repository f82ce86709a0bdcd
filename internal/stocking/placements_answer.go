package stocking

import (
	"cmp"
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking/graph"
)

// answer writes out what was found.
func (p *placer) answer() Placements {
	f := &p.found
	out := Placements{
		Wanted: p.wanted, Lost: f.lost, LostBound: f.lostBound, Harm: f.harm, HarmBound: f.harmBound,
		Optimal: f.optimal, Nodes: f.nodes, Before: make([]Decision, len(p.berths)),
	}
	for t := range p.berths {
		out.Before[t] = p.berths[t].before
	}
	var cautions cautionList
	for u := range p.units {
		out.Arrivals = append(out.Arrivals, p.placed(u))
		cautions.add(p.byThemselves(u).cautions())
	}
	for t := range p.berths {
		if units := p.unitsIn(t); !units.Empty() {
			tank, j := p.placedTank(t, units)
			out.Tanks = append(out.Tanks, tank)
			cautions.add(j.cautions())
		}
	}
	if p.o.ByTank {
		out.ByTank = p.byTank()
	}
	out.Cautions, out.Summary = cautions.sorted(), p.summary()
	return out
}

func (p *placer) unitsIn(t int) (units graph.Set) {
	for u, at := range p.found.tank {
		if at == t {
			units.Add(u)
		}
	}
	return units
}

// byThemselves are the fish of a unit without a tank.
func (p *placer) byThemselves(u int) *judging {
	j := &judging{book: p.book, wanted: p.wanted}
	for _, r := range p.units[u].refs {
		j.lines = append(j.lines, p.ready[r])
	}
	slices.SortStableFunc(j.lines, func(x, y resident) int { return cmp.Compare(x.Index, y.Index) })
	j.renumber()
	return j
}

// placedTank judges a tank with all that it got.
func (p *placer) placedTank(t int, units graph.Set) (PlacedTank, *judging) {
	refs := p.refsOf(units)
	slices.Sort(refs)
	j := p.joining(t, refs)
	j.judgeFully()
	out := PlacedTank{Tank: t, Refs: refs, Harm: p.harmOf(t, units), Decision: j.decision, Lines: make([]Line, len(j.lines))}
	for i := range j.lines {
		out.Lines[i] = j.lines[i].Line
	}
	pairings := j.worstFirst()
	out.Summary = j.summary(pairings)
	for i := range pairings {
		if w := pairings[i]; j.lines[w.First].Incoming || j.lines[w.Second].Incoming {
			out.Worst = &w
			break
		}
	}
	return out, j
}

// placed is one unit with its best tanks.
func (p *placer) placed(u int) Placed {
	out := Placed{Refs: p.units[u].refs, Tank: p.found.tank[u]}
	order := make([]int, len(p.berths))
	for t := range order {
		order[t] = t
		if p.alone[t][u].fits() {
			out.Fitting++
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return p.nearer(u, a, b) })
	for _, t := range order[:min(len(order), orDefault(p.o.Options, DefaultTankOptions))] {
		out.Options = append(out.Options, p.option(t, u))
	}
	return out
}

// byTank ranks the units for each tank that may take any.
func (p *placer) byTank() (out []Adoption) {
	for t := range p.berths {
		if p.berths[t].before == Hold {
			continue
		}
		order := make([]int, len(p.units))
		for u := range order {
			order[u] = u
		}
		slices.SortStableFunc(order, func(a, b int) int { return compareTrials(&p.alone[t][a], &p.alone[t][b]) })
		a := Adoption{Tank: t}
		for _, u := range order[:min(len(order), orDefault(p.o.Options, DefaultTankOptions))] {
			a.Candidates = append(a.Candidates, Candidate{u, p.option(t, u)})
		}
		out = append(out, a)
	}
	return out
}

// nearer orders tanks for a unit: those that can take it by its harm, then the others by
// its worst pairing there.
func (p *placer) nearer(u, a, b int) int {
	return compareTrials(&p.alone[a][u], &p.alone[b][u])
}

func compareTrials(x, y *trialIn) int {
	return cmp.Or(cmp.Compare(x.harm, y.harm), cmp.Compare(x.worst, y.worst))
}

// option explains one tank for one unit by itself.
func (p *placer) option(t, u int) TankOption {
	x := &p.alone[t][u]
	out := TankOption{Tank: t, Fits: x.fits(), Harm: x.harm, Decision: x.decision, With: TheTank}
	if math.IsInf(out.Harm, 1) {
		out.Harm = 0
	}
	if p.berths[t].before == Hold {
		out.Reason = conflict.Statement{Code: ReasonTankHeld}
		return out
	}
	j := p.joining(t, p.units[u].refs)
	j.judge()
	out.Decision = j.decision
	var mine graph.Set
	for i := range j.lines {
		if j.lines[i].Incoming {
			mine.Add(i)
		}
	}
	var with int
	if out.Fits {
		with, out.Reason = j.chiefly(mine)
	} else {
		with, out.Reason = holdReason(j, mine)
	}
	out.With = p.resident(j, t, with)
	return out
}

// resident is the position among an adopter's lines of what stands against an arrival.
func (p *placer) resident(j *judging, t, with int) int {
	if with < 0 {
		return with
	}
	if ref := refOf(&j.lines[with].Line); ref < len(p.berths[t].Lines) {
		return ref
	}
	return OwnKind // another of those that go together
}

// chiefly is what is most to be said of some lines in a tank that is not on hold: their
// worst pairing that is not low, else advice about them, else that nothing speaks against
// them.
func (j *judging) chiefly(mine graph.Set) (with int, s conflict.Statement) {
	if p := j.worstPair(func(p *pair) bool { return concerns(mine, p.first, p.second) && j.decisionFor(p.level) == Advise }); p != nil {
		return against(j, mine, p.first, p.second), j.summaryOf(*p)
	}
	for i := range j.findings {
		if f := &j.findings[i]; f.Severity == Advice && len(f.Lines) > 0 && concerns(mine, f.Lines...) {
			return TheTank, f.Statement
		}
	}
	return TheTank, conflict.Statement{Code: SummaryFineSingle, Actor: j.lines[max(mine.Next(0), 0)].species}
}

// summary says how far the tanks go.
func (p *placer) summary() conflict.Statement {
	placed, lines := 0, 0
	for u := range p.units {
		lines += len(p.units[u].refs)
		if p.found.tank[u] >= 0 {
			placed += len(p.units[u].refs)
		}
	}
	code := PlacedSome
	switch {
	case placed == 0:
		code = PlacedNone
	case placed == lines && p.found.optimal:
		code = PlacedAllBest
	case placed == lines:
		code = PlacedAll
	case p.found.lost < p.found.lostBound+nearZero:
		code = PlacedMost
	}
	return conflict.Statement{Code: code, Evidence: []conflict.Evidence{
		{Name: "placed", Value: float64(placed)}, {Name: "lines", Value: float64(lines)}}}
}

// cautionList gathers cautions, each once.
type cautionList []conflict.CautionNote

func (c *cautionList) add(notes []conflict.CautionNote) {
	for _, n := range notes {
		if !slices.Contains(*c, n) {
			*c = append(*c, n)
		}
	}
}

// sorted puts the graver kinds first and the general guidance last.
func (c cautionList) sorted() []conflict.CautionNote {
	slices.SortStableFunc(c, func(a, b conflict.CautionNote) int { return cautionRank(a) - cautionRank(b) })
	return c
}

func cautionRank(n conflict.CautionNote) int {
	switch {
	case n.Code == conflict.Guidance:
		return 2
	case isGrave(n.Code):
		return 0
	}
	return 1
}
