package groupings

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
)

// overFewest splits the list over the fewest tanks, none larger than the largest
// standard tank. Two tanks stand for all: each pairing's customary one says who may share
// at all, the largest whether a group finds room.
func (sp *split) overFewest(o Options) {
	last := conflict.StandardTanks[len(conflict.StandardTanks)-1]
	usual, largest := sp.candidate(nil), sp.candidate(stocking.TankOf(last))
	free := sp.keepable(usual, largest)
	apart := graph.New(len(free))
	for x := range free {
		for y := range x {
			if usual.apart(free[x], free[y]) || largest.apart(free[x], free[y]) {
				apart.AddEdge(x, y)
			}
		}
	}
	fits := func(set graph.Set) bool { return set.Len() == 1 || largest.holds(renamed(set, free)) }
	limits := graph.PartitionOptions{NodeLimit: o.NodeLimit, Budget: sp.Budget}
	if everyone := graph.SetOf(free...); largest.roomForAll(everyone) {
		fits = nil
	} else {
		limits.Load, limits.Room = largest.areas(free)
	}
	r := graph.Partition(len(free), apart, fits, limits)
	sp.out.Optimal, sp.out.LowerBound, sp.out.Nodes = r.Optimal && r.Err == nil, r.LowerBound, r.Nodes
	if sp.ended { // pairs that were not tried were taken for conflicts
		sp.out.Optimal, sp.out.LowerBound = false, min(r.LowerBound, 1)
	}
	for _, group := range r.Groups {
		sp.out.Groups = append(sp.out.Groups, sp.sized(sp.linesOf(renamed(graph.SetOf(group...), free))))
	}
}

// areas are what each unit covers when its fish are laid side by side, and what they may
// cover together. A unit that is too much alone fills a tank of its own.
func (a *candidateTank) areas(units []int) (load []float64, room float64) {
	room = stocking.TankCrowdedAt * a.tank.LengthCM * a.tank.WidthCM
	load = make([]float64, len(units))
	for k, u := range units {
		for _, i := range a.units[u] {
			area, _ := swumBy(&a.Lines[i])
			load[k] += area
		}
		load[k] = min(load[k], room)
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

// keepable lists the units that can be kept as they are given, and reports the others
// as unplaced with the reason.
func (sp *split) keepable(arenas ...*candidateTank) (free []int) {
	for u := range sp.units {
		blocked := false
		for _, a := range arenas {
			if j := a.alone(u); j.Decision == stocking.Hold {
				with, reason := j.HoldReason(graph.Set{})
				sp.out.Unplaced = append(sp.out.Unplaced, Unplaced{Lines: sp.units[u], Tank: -1, With: with, Reason: reason})
				blocked = true
				break
			}
		}
		if !blocked {
			free = append(free, u)
		}
	}
	return free
}

// sized finds the tank for a group: the smallest standard one that meets every member's
// customary minimum and holds the group without crowding; where none does, the
// smallest that holds it at all. The largest does.
func (sp *split) sized(lines []int) Grouping {
	from := sp.least(lines)
	chosen := len(conflict.StandardTanks) - 1
	for k, held := from, false; k < len(conflict.StandardTanks) && !sp.Budget.Ended(); k++ {
		j := sp.actual(stocking.TankOf(conflict.StandardTanks[k]), lines)
		if j.Judge() == stocking.Hold {
			continue
		}
		if !held {
			chosen, held = k, true
		}
		if !j.Crowded() {
			chosen = k
			break
		}
	}
	size := conflict.StandardTanks[chosen]
	g := sp.grouping(stocking.TankOf(size), lines)
	g.Tank, g.Size = -1, &size
	return g
}

// least is the first standard tank that meets every line's customary minimum, the last
// where none does.
func (sp *split) least(lines []int) int {
	for k := range conflict.StandardTanks {
		if j := sp.Part(stocking.TankOf(conflict.StandardTanks[k]), lines); !j.TooSmall() {
			return k
		}
	}
	return len(conflict.StandardTanks) - 1
}
