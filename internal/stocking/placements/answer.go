package placements

import (
	"cmp"
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
)

// answer writes out what was found.
func (p *placing) answer() Placements {
	f := &p.found
	out := Placements{
		Wanted: p.wanted, Lost: f.lost, LostBound: f.lostBound, Harm: f.harm, HarmBound: f.harmBound,
		Optimal: f.optimal, Nodes: f.nodes, Before: make([]stocking.Decision, len(p.tanks)),
	}
	for t := range p.tanks {
		if out.Before[t] = p.tanks[t].before; out.Before[t] == stocking.Hold {
			if out.Held == nil {
				out.Held = map[int]stocking.Summary{}
			}
			out.Held[t] = p.tanks[t].base.Summary(p.tanks[t].base.Told())
		}
	}
	var cautions stocking.CautionList
	for u := range p.units {
		out.Arrivals = append(out.Arrivals, p.placed(u))
		cautions.Add(p.byThemselves(u).Cautions())
	}
	for t := range p.tanks {
		if units := p.unitsIn(t); !units.Empty() {
			tank, j := p.placedTank(t, units)
			out.Tanks = append(out.Tanks, tank)
			out.Parts.add(tank.Parts)
			cautions.Add(j.Cautions())
		}
	}
	if p.o.ByTank {
		out.ByTank = p.byTank()
	}
	out.Cautions, out.Summary, out.Complete = cautions.Sorted(), p.summary(), !p.ended
	return out
}

func (p *placing) unitsIn(t int) (units graph.Set) {
	for u, at := range p.found.tank {
		if at == t {
			units.Add(u)
		}
	}
	return units
}

// byThemselves are the fish of a unit without a tank.
func (p *placing) byThemselves(u int) *stocking.Assessment {
	var fish []stocking.Resident
	for _, r := range p.units[u].refs {
		fish = append(fish, p.ready[r])
	}
	nobody := &stocking.Assessment{Terms: stocking.Terms{Book: p.book, Wanted: p.wanted, Budget: p.o.Budget}}
	return nobody.JoinedBy(fish...)
}

// placedTank judges a tank with all that it got.
func (p *placing) placedTank(t int, units graph.Set) (PlacedTank, *stocking.Assessment) {
	refs := p.refsOf(units)
	slices.Sort(refs)
	j := p.joining(t, refs)
	j.JudgeInFull()
	out := PlacedTank{Tank: t, Refs: refs, Harm: p.harmOf(t, units), Parts: p.partsOf(t, units), Decision: j.Decision, Lines: make([]stocking.Line, len(j.Lines))}
	for i := range j.Lines {
		out.Lines[i] = j.Lines[i].Line
	}
	pairings := j.WorstFirst()
	out.Summary = j.Summary(j.Told())
	for i := range pairings {
		if w := pairings[i]; j.Lines[w.First].Incoming || j.Lines[w.Second].Incoming {
			out.Worst = &w
			break
		}
	}
	return out, j
}

// placed is one unit with its best tanks.
func (p *placing) placed(u int) Placed {
	out := Placed{Refs: p.units[u].refs, Tank: p.found.tank[u]}
	order := make([]int, len(p.tanks))
	for t := range order {
		order[t] = t
		if p.alone[t][u].fits() {
			out.Fitting++
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return p.nearer(u, a, b) })
	told := order
	if out.Tank >= 0 {
		told = append([]int{out.Tank}, slices.DeleteFunc(slices.Clone(order), func(t int) bool { return t == out.Tank })...)
	}
	for _, t := range told[:min(len(told), cmp.Or(p.o.Options, DefaultTankOptions))] {
		if len(out.Options) > 0 && p.spent() {
			break
		}
		out.Options = append(out.Options, p.option(t, u))
	}
	out.Why = p.why(u, order, out.Fitting, out.Options[0].Reason)
	return out
}

// byTank ranks the units for each tank that may take any.
func (p *placing) byTank() (out []Adoption) {
	for t := range p.tanks {
		if p.tanks[t].before == stocking.Hold {
			continue
		}
		order := make([]int, len(p.units))
		for u := range order {
			order[u] = u
		}
		slices.SortStableFunc(order, func(a, b int) int { return compareTrials(&p.alone[t][a], &p.alone[t][b]) })
		a := Adoption{Tank: t}
		for _, u := range order[:min(len(order), cmp.Or(p.o.Options, DefaultTankOptions))] {
			if p.spent() {
				break
			}
			a.Candidates = append(a.Candidates, Candidate{u, p.option(t, u)})
		}
		out = append(out, a)
	}
	return out
}

// nearer orders tanks for a unit: those that can take it by its harm, then the others by
// its worst pairing there.
func (p *placing) nearer(u, a, b int) int {
	return compareTrials(&p.alone[a][u], &p.alone[b][u])
}

func compareTrials(x, y *trial) int {
	return cmp.Or(cmp.Compare(x.harm, y.harm), cmp.Compare(x.worst, y.worst))
}

// option explains one tank for one unit by itself.
func (p *placing) option(t, u int) TankOption {
	x := &p.alone[t][u]
	out := TankOption{Tank: t, Fits: x.fits(), Wanted: p.wishedFor(t, u), Harm: x.harm, Decision: x.decision, With: stocking.TheTank}
	if math.IsInf(out.Harm, 1) {
		out.Harm = 0
	}
	if p.tanks[t].before == stocking.Hold {
		out.Reason = conflict.Statement{Code: stocking.ReasonTankHeld}
		return out
	}
	j := p.joining(t, p.units[u].refs)
	j.Judge()
	out.Decision = j.Decision
	var mine graph.Set
	for i := range j.Lines {
		if j.Lines[i].Incoming {
			mine.Add(i)
		}
	}
	var with int
	switch {
	case out.Fits:
		with, out.Reason = j.ChiefRemark(mine)
	case out.Decision < stocking.Hold:
		with = stocking.TheTank
		out.Reason, _ = p.against(t, p.units[u].refs)
	default:
		with, out.Reason = j.HoldReason(mine)
	}
	out.With = p.resident(j, t, with)
	return out
}

// resident is the position among an adopter's lines of what stands against an arrival.
func (p *placing) resident(j *stocking.Assessment, t, with int) int {
	if with < 0 {
		return with
	}
	if ref := j.Lines[with].Line.Ref(); ref < len(p.tanks[t].Lines) {
		return ref
	}
	return stocking.OwnKind // another of those that go together
}

// summary says how far the tanks go.
func (p *placing) summary() conflict.Statement {
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
