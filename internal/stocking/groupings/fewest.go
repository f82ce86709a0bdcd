package groupings

import (
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
)

// overFewest splits the list over the fewest tanks of standard sizes. The largest stands for
// all of them: what fits a smaller one fits it too.
func (sp *split) overFewest(o Options) {
	largest := sp.candidate(stocking.TankOf(conflict.StandardTanks[len(conflict.StandardTanks)-1]))
	largest.learn(sp.before)
	sp.largest = largest
	free := sp.keepable(largest)
	r := largest.partition(free, o)
	sp.out.Optimal, sp.out.LowerBound, sp.out.Nodes = r.Optimal && r.Err == nil, r.LowerBound, r.Nodes
	if largest.kinder != nil {
		// A part of a group that fits may not fit: the kindest ground alone bounds the number.
		bound := largest.kinder.partition(free, o)
		sp.out.LowerBound, sp.out.Nodes = bound.LowerBound, r.Nodes+bound.Nodes
		sp.out.Optimal = r.Err == nil && bound.Err == nil && len(r.Groups) == bound.LowerBound
	}
	if sp.cutShort() { // pairs that were not tried were taken for conflicts
		sp.out.Optimal, sp.out.LowerBound = false, min(sp.out.LowerBound, 1)
	}
	for _, group := range r.Groups {
		sp.out.Groups = append(sp.out.Groups, sp.sized(sp.linesOf(renamed(graph.SetOf(group...), free))))
	}
}

// partition divides units over as few of these tanks as can be.
func (a *candidateTank) partition(free []int, o Options) graph.PartitionResult {
	apart := graph.New(len(free))
	for x := range free {
		for y := range x {
			if a.apart(free[x], free[y]) {
				apart.AddEdge(x, y)
			}
		}
	}
	fits := func(set graph.Set) bool { return set.Len() == 1 || a.holds(renamed(set, free)) }
	limits := graph.PartitionOptions{NodeLimit: o.NodeLimit, Budget: a.Budget}
	if everyone := graph.SetOf(free...); a.kinder == nil && a.roomForAll(everyone) {
		fits = nil
	} else {
		limits.Load, limits.Room = a.areas(free)
	}
	return graph.Partition(len(free), apart, fits, limits)
}

// areas are what each unit covers when its fish are laid side by side, and what they may
// cover together. A unit that is too much alone fills a tank of its own.
func (a *candidateTank) areas(units []int) (load []float64, room float64) {
	room = stocking.SwimRoom(a.tank.LengthCM * a.tank.WidthCM)
	load = make([]float64, len(units))
	for k, u := range units {
		var c stocking.Crowding
		for _, i := range a.units[u] {
			c.Add(&a.Lines[i])
		}
		load[k] = min(c.Swum, room)
	}
	return load, room
}

// renamed turns positions in a list of units into the units.
func renamed(set graph.Set, units []int) (out graph.Set) {
	for k := set.Next(0); k >= 0; k = set.Next(k + 1) {
		out.Add(units[k])
	}
	return out
}

// roomForAll reports whether every part of the list finds room, so that only pairings
// decide. Pairings that are in conflict anyway do not matter here.
func (a *candidateTank) roomForAll(units graph.Set) bool {
	lines := a.linesOf(units)
	for k, x := range lines {
		for _, y := range lines[k:] {
			if (x != y || a.Lines[x].Fish >= 2) && a.clash(x, y) == crowdable {
				return false
			}
		}
	}
	return !a.heavy && !a.crowds(lines)
}

// keepable lists the units that can be kept alone in this tank, and reports the others as
// unplaced with the reason.
func (sp *split) keepable(a *candidateTank) (free []int) {
	for u := range sp.units {
		j := a.alone(u)
		if j.Decision < stocking.Hold {
			free = append(free, u)
			continue
		}
		with, reason := j.HoldReason(graph.Set{})
		sp.out.Unplaced = append(sp.out.Unplaced, Unplaced{Lines: sp.units[u], Tank: -1, With: with, Reason: reason})
	}
	return free
}

// sized finds the tank for a group: the smallest standard one that meets every member's
// customary minimum and holds the group without crowding; where none does, the
// smallest that holds it at all. The largest does.
func (sp *split) sized(lines []int) Grouping {
	if g, ok := sp.atHome(lines); ok {
		return g
	}
	from := sp.least(lines)
	chosen := len(conflict.StandardTanks) - 1
	group := sp.actual(nil, lines)
	var best *stocking.Assessment // the chosen one, judged
	for k := from; k < len(conflict.StandardTanks) && !sp.Budget.Ended(); k++ {
		j := group.In(stocking.TankOf(conflict.StandardTanks[k]))
		j.ScoreWhile(func(p *stocking.Pair) bool { return j.DecisionOn(p) < stocking.Hold })
		if !j.PairsReach(stocking.Advise) || j.Finish() == stocking.Hold {
			continue
		}
		roomy := !j.Crowded()
		if best == nil || roomy {
			chosen, best = k, j
		}
		if roomy {
			break
		}
	}
	size := conflict.StandardTanks[chosen]
	if sp.livesHere(lines) && (best == nil || best.Crowded()) {
		sp.cramped = true
	}
	if best == nil {
		best = group.In(stocking.TankOf(size))
		best.Judge()
	}
	g := sp.grouping(best, lines)
	g.Tank, g.Size = -1, &size
	return g
}

// livesHere reports whether some lines are those that stay together, perhaps with others.
func (sp *split) livesHere(lines []int) bool {
	return sp.together && slices.ContainsFunc(lines, func(i int) bool { return !sp.Lines[i].Incoming })
}

// atHome leaves the residents in their own tank where it holds them and those that would share it, none of which
// crowd it: as a tank of which only the sides are known, to the centimetre where they were taken from a volume.
func (sp *split) atHome(lines []int) (g Grouping, ok bool) {
	home := sp.home.Shaped()
	if !sp.livesHere(lines) || home == nil || home.LengthCM*home.WidthCM <= 0 || home.HeightCM <= 0 {
		return g, false
	}
	size := conflict.TankSize{LengthCM: home.LengthCM, WidthCM: home.WidthCM, HeightCM: home.HeightCM}
	if home.ShapeTaken {
		size = conflict.TankSize{LengthCM: math.Round(size.LengthCM), WidthCM: math.Round(size.WidthCM), HeightCM: math.Round(size.HeightCM)}
	}
	j := sp.actual(stocking.TankOf(size), lines)
	if j.Judge() == stocking.Hold || j.Crowded() {
		return g, false
	}
	g = sp.grouping(j, lines)
	g.Tank, g.Size = -1, &size
	return g, true
}

// least is the first standard tank that meets every line's customary minimum, the last
// where none does.
func (sp *split) least(lines []int) int {
	group := sp.Part(nil, lines)
	for k := range conflict.StandardTanks {
		if !group.In(stocking.TankOf(conflict.StandardTanks[k])).TooSmall() {
			return k
		}
	}
	return len(conflict.StandardTanks) - 1
}
