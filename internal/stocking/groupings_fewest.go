package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking/graph"
)

// overFewest splits the list over the fewest tanks, none larger than the largest
// standard tank. Two tanks stand for all: each pairing's customary one says who may share
// at all, the largest whether a group finds room.
func (sp *split) overFewest(o GroupingOptions) {
	last := conflict.StandardTanks[len(conflict.StandardTanks)-1]
	usual, largest := sp.arenaIn(nil), sp.arenaIn(TankOf(last))
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
	limits := graph.PartitionOptions{NodeLimit: o.NodeLimit}
	if everyone := graph.SetOf(free...); largest.roomForAll(everyone) {
		fits = nil
	} else {
		limits.Load, limits.Room = largest.areas(free)
	}
	r := graph.Partition(len(free), apart, fits, limits)
	sp.out.Optimal, sp.out.LowerBound, sp.out.Nodes = r.Optimal && r.Err == nil, r.LowerBound, r.Nodes
	for _, group := range r.Groups {
		sp.out.Groups = append(sp.out.Groups, sp.sized(sp.linesOf(renamed(graph.SetOf(group...), free))))
	}
}

// TankOf is a tank of a size, with nothing else known.
func TankOf(size conflict.TankSize) *Tank {
	return &Tank{Tank: conflict.Tank{LengthCM: size.LengthCM, WidthCM: size.WidthCM, HeightCM: size.HeightCM}}
}

// areas are what each unit covers when its fish are laid side by side, and what they may
// cover together. A unit that is too much alone fills a tank of its own.
func (a *arena) areas(units []int) (load []float64, room float64) {
	room = tankCrowdedAt * a.tank.LengthCM * a.tank.WidthCM
	load = make([]float64, len(units))
	for k, u := range units {
		for _, i := range a.units[u] {
			area, _ := swumBy(&a.lines[i])
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
func (a *arena) roomForAll(units graph.Set) bool {
	lines := a.linesOf(units)
	for k, x := range lines {
		for _, y := range lines[k:] {
			if (x != y || a.lines[x].heads >= 2) && a.clash(x, y) == crowdable {
				return false
			}
		}
	}
	return !a.heavy && !a.crowds(lines)
}

// keepable lists the units that can be kept as they are given, and reports the others
// as unplaced with the reason.
func (sp *split) keepable(arenas ...*arena) (free []int) {
	for u := range sp.units {
		blocked := false
		for _, a := range arenas {
			if j := a.alone(u); j.decision == Hold {
				with, reason := holdReason(j, graph.Set{})
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
	for k, held := from, false; k < len(conflict.StandardTanks); k++ {
		j := sp.actual(TankOf(conflict.StandardTanks[k]), lines)
		if j.judge() == Hold {
			continue
		}
		if !held {
			chosen, held = k, true
		}
		if !crowdedIn(j) {
			chosen = k
			break
		}
	}
	size := conflict.StandardTanks[chosen]
	g := sp.grouping(TankOf(size), lines)
	g.Tank, g.Size = -1, &size
	return g
}

// least is the first standard tank that meets every line's customary minimum, the last
// where none does.
func (sp *split) least(lines []int) int {
	for k := range conflict.StandardTanks {
		if j := sp.only(TankOf(conflict.StandardTanks[k]), lines); !j.tooSmall() {
			return k
		}
	}
	return len(conflict.StandardTanks) - 1
}

// tooSmall reports whether the tank is below the customary minimum of any line.
func (j *judging) tooSmall() bool {
	f := finder{judging: j}
	f.kinds(f.tankSize)
	return len(f.out) > 0
}

// crowdedIn reports a finding about crowding.
func crowdedIn(j *judging) bool {
	for i := range j.findings {
		switch j.findings[i].Code() {
		case GroundCrowded, ZoneCrowded, TankCrowded:
			return true
		}
	}
	return false
}
