package groupings

import (
	"math"

	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
)

// candidateTank is one tank in which groups of a list are tried. What it finds out about a
// pairing it remembers.
type candidateTank struct {
	*split
	tank   *stocking.Tank
	kinder *candidateTank // the same tank for the kindest ground; nil where there is no other
	status []clash        // by pairing of lines
	limits map[int]*groundLimits
	lines  []int // room for the lines of a group that is tried
	heavy  bool  // the whole list is more than one weekly water change can carry here
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
	tank = tank.Shaped()
	a := &candidateTank{
		split: sp, tank: tank, status: make([]clash, len(sp.Lines)*len(sp.Lines)), limits: map[int]*groundLimits{},
		heavy: sp.Assessment.In(tank).Overloaded(),
	}
	if sp.kindest != nil {
		a.kinder = sp.kindest.candidate(tank)
	}
	return a
}

// learn takes over what another split of the same list found out about pairings in the same tank.
func (a *candidateTank) learn(from *candidateTank) {
	if from == nil {
		return
	}
	a.status, a.limits = from.status, from.limits
	if a.kinder != nil {
		a.kinder.learn(from.kinder)
	}
}

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
		if a.tank.HasFootprint() && a.clashesAt(k, x, y, a.grounds[k].beside(a.all, x, y)) {
			*at = crowdable
		}
	}
	return *at
}

// clashesAt reports whether a pairing is above the wanted level at a moment while
// others defend so much ground.
func (a *candidateTank) clashesAt(moment, x, y int, others float64) bool {
	px, py := a.profileAt(moment, x), a.profileAt(moment, y)
	c := stocking.ConditionsIn(px, py, &a.tank.Tank)
	if a.tank.HasFootprint() {
		c.OthersGroundCM2 = others
	}
	if moment == 0 {
		return a.Above(a.LevelIn(a.tank, x, y, a.ValueOf(&a.Lines[x], &a.Lines[y], &c)))
	}
	return a.Above(a.LevelIn(a.tank, x, y, a.Value(px, py, &c)))
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

// apart reports whether two units can never share this tank, whatever company they have.
func (a *candidateTank) apart(u, v int) bool {
	for _, x := range a.units[u] {
		for _, y := range a.units[v] {
			if a.parted[[2]int{min(x, y), max(x, y)}] {
				return true
			}
		}
	}
	if a.kinder != nil {
		return a.kinder.apart(u, v)
	}
	for _, x := range a.units[u] {
		for _, y := range a.units[v] {
			if a.clash(x, y) == always || stocking.WatersApart(a.Lines[x].Species, a.Lines[y].Species) {
				return true
			}
		}
	}
	return false
}

// alone judges one unit by itself.
func (a *candidateTank) alone(u int) *stocking.Assessment {
	if a.kinder == nil {
		return a.JudgePart(a.tank, a.units[u])
	}
	j := a.actual(a.tank, a.units[u])
	j.Judge()
	return j
}

// holds reports whether a group of units that are fine alone can share the tank: whether the
// check of the group is not a hold and, for more than one unit, does not find it crowded.
func (a *candidateTank) holds(units graph.Set) bool {
	if a.holdsWithGround(units) {
		return true
	}
	if a.kinder == nil || !a.kinder.holdsWithGround(units) {
		return false
	}
	j := a.actual(a.tank, a.linesOf(units))
	return j.Judge() < stocking.Hold && (units.Len() == 1 || !j.Crowded())
}

// holdsWithGround is holds for the ground that each line has been given.
func (a *candidateTank) holdsWithGround(units graph.Set) bool {
	lines := a.appendLines(a.lines[:0], units)
	a.lines = lines
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
	if units.Len() > 1 && a.tank.HasFootprint() && a.crowds(lines) {
		return false
	}
	return !a.heavy || !a.Part(a.tank, lines).Overloaded()
}

// crowds reports whether lines are more than the footprint takes.
func (a *candidateTank) crowds(lines []int) bool {
	var c stocking.Crowding
	for _, i := range lines {
		c.Add(&a.Lines[i])
	}
	return c.Over(a.tank.LengthCM * a.tank.WidthCM)
}
