package groupings

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
)

// candidateTank is one tank, or the customary conditions of each pairing (a nil tank), in which
// groups of a list are tried. What it finds out about a pairing it remembers.
type candidateTank struct {
	*split
	tank   *stocking.Tank
	status []clash // by pairing of lines
	limits map[int]*groundLimits
	heavy  bool // the whole list is more than one weekly water change can carry here
}

// clash is when a pairing is in conflict.
type clash uint8

const (
	unasked   clash = iota
	peaceful        // not even beside the whole list
	crowdable       // only beside others: it depends on the group
	always          // whatever else is in the tank
)

// groundLimits is, for each moment, the most ground in cm² that others may defend beside
// a pairing; infinite where that does not matter.
type groundLimits [numMoments]float64

func (sp *split) candidate(tank *stocking.Tank) *candidateTank {
	return &candidateTank{
		split: sp, tank: tank, status: make([]clash, len(sp.Lines)*len(sp.Lines)), limits: map[int]*groundLimits{},
		heavy: sp.Assessment.In(tank).Overloaded(),
	}
}

func (a *candidateTank) hasFootprint() bool { return a.tank != nil && a.tank.HasFootprint() }

// clash is when two lines, or one among its own, are in conflict, today or soon.
func (a *candidateTank) clash(x, y int) clash {
	x, y = min(x, y), max(x, y)
	at := &a.status[x*len(a.Lines)+y]
	if *at != unasked {
		return *at
	}
	if a.spent() {
		return always // it was not tried, and what was not tried is not put together
	}
	*at = peaceful
	for k := range a.moments(x, y) {
		if a.clashesAt(k, x, y, 0) {
			*at = always
			return always
		}
		if a.hasFootprint() && a.clashesAt(k, x, y, a.grounds[k].beside(a.all, x, y)) {
			*at = crowdable
		}
	}
	return *at
}

// clashesAt reports whether a pairing is above the wanted level at a moment while
// others defend so much ground.
func (a *candidateTank) clashesAt(moment, x, y int, others float64) bool {
	px, py := a.profileAt(moment, x), a.profileAt(moment, y)
	var tank *conflict.Tank
	if a.tank != nil {
		tank = &a.tank.Tank
	}
	c := conflict.ConditionsFor(px, py, tank)
	if a.hasFootprint() {
		c.OthersGroundCM2 = others
	}
	return a.Above(conflict.LevelOf(a.Value(px, py, &c)))
}

// limitsOf finds how much ground others may defend beside a crowdable pairing; more
// ground never lowers a score, so bisection finds it.
func (a *candidateTank) limitsOf(x, y int) *groundLimits {
	x, y = min(x, y), max(x, y)
	key := x*len(a.Lines) + y
	if l := a.limits[key]; l != nil {
		return l
	}
	l := &groundLimits{}
	for k := range l {
		l[k] = math.Inf(1)
		if k >= a.moments(x, y) {
			continue
		}
		low, high := 0.0, a.grounds[k].beside(a.all, x, y)
		if !a.clashesAt(k, x, y, high) {
			continue
		}
		l[k] = stocking.LastBelow(low, high, func(ground float64) bool { return a.clashesAt(k, x, y, ground) })
	}
	a.limits[key] = l
	return l
}

// crowdedOut reports whether a crowdable pairing is in conflict among some lines.
func (a *candidateTank) crowdedOut(x, y int, lines graph.Set) bool {
	limits := a.limitsOf(x, y)
	for k := range a.moments(x, y) {
		if limit := limits[k]; !math.IsInf(limit, 1) && a.grounds[k].beside(lines, x, y) > limit {
			return true
		}
	}
	return false
}

// apart reports whether two units can never share this tank.
func (a *candidateTank) apart(u, v int) bool {
	for _, x := range a.units[u] {
		for _, y := range a.units[v] {
			if a.clash(x, y) == always {
				return true
			}
		}
	}
	return stocking.WatersApart(a.Lines[a.units[u][0]].Species, a.Lines[a.units[v][0]].Species)
}

// alone judges one unit by itself.
func (a *candidateTank) alone(u int) *stocking.Assessment { return a.JudgePart(a.tank, a.units[u]) }

// holds reports whether a group of units that are fine alone can share the tank.
func (a *candidateTank) holds(units graph.Set) bool {
	lines := a.linesOf(units)
	set := graph.SetOf(lines...)
	for k, x := range lines {
		for _, y := range lines[k:] {
			if x == y && a.Lines[x].Fish < 2 {
				continue
			}
			switch a.clash(x, y) {
			case always:
				return false
			case crowdable:
				if a.crowdedOut(x, y, set) {
					return false
				}
			}
		}
	}
	if units.Len() > 1 && a.hasFootprint() && a.crowds(lines) {
		return false
	}
	return !a.heavy || !a.Part(a.tank, lines).Overloaded()
}

// crowds reports whether lines are more than the footprint takes, in the sense of the
// findings about crowding.
func (a *candidateTank) crowds(lines []int) bool {
	floor := a.tank.LengthCM * a.tank.WidthCM
	ground, total := 0.0, 0.0
	var byZone [species.NumZones]float64
	for _, i := range lines {
		r := &a.Lines[i]
		ground += r.Ground
		area, levels := swumBy(r)
		total += area
		for z := range byZone {
			byZone[z] += levels[z]
		}
	}
	if ground > stocking.GroundCrowdedAt*floor || total > stocking.TankCrowdedAt*floor {
		return true
	}
	for _, area := range byZone {
		if area > stocking.LevelCrowdedAt*floor {
			return true
		}
	}
	return false
}

// swumBy is the area in cm² of a line's fish laid side by side, in all and by level.
func swumBy(r *stocking.Resident) (total float64, byZone [species.NumZones]float64) {
	one := stocking.Assessment{Lines: []stocking.Resident{*r}}
	return one.Swum()
}
