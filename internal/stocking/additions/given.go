package additions

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// listWater is what the list leaves of one parameter.
type listWater struct {
	stocking.WaterLimits
	best      float64 // the reading, or where the list is least stressed
	bestKnown bool
}

// readWater finds, for each parameter, what every line tolerates and where the list is
// best off.
func (sc *ranking) readWater() {
	profiles := make([]*conflict.Profile, len(sc.base.Lines))
	for i := range sc.base.Lines {
		profiles[i] = sc.base.Lines[i].Profile
	}
	for p := range species.Parameter(species.NumParameters) {
		w := &sc.water[p]
		w.WaterLimits = sc.base.WaterLimits(p)
		w.best, _, w.bestKnown = conflict.BestWater(profiles, p)
		if r := sc.base.Reading(p); r.Known {
			w.best, w.bestKnown = r.Value, true
		}
	}
}

// waterFit is 1 where the list's water is what the species prefers, falling to 0 at the
// edge of what it tolerates, for the parameter that suits it least.
func (sc *ranking) waterFit(k *kind) float64 {
	fit := 1.0
	for p := range sc.water {
		if !sc.water[p].bestKnown {
			continue
		}
		switch x := sc.water[p].best; {
		case x < k.preferred[p].Low:
			fit = min(fit, within(x, k.tolerated[p].Low, k.preferred[p].Low))
		case x > k.preferred[p].High:
			fit = min(fit, within(x, k.tolerated[p].High, k.preferred[p].High))
		}
	}
	return fit
}

// within is how far x has come from the bad edge to the good one, 0 to 1.
func within(x, bad, good float64) float64 {
	if bad == good {
		return 0
	}
	return min(max((x-bad)/(good-bad), 0), 1)
}

// readZones finds how the fish on the list share the levels, each by its area, and how they crowd the tank.
func (sc *ranking) readZones() {
	c := sc.base.Crowding()
	sc.crowding = c
	for z := range c.Levels {
		if c.Swum > 0 {
			sc.taken[z] = c.Levels[z] / c.Swum
		}
	}
}

// zoneFree is the share of the species' levels that the list leaves free; levels that
// are not on record are taken to be all alike.
func (sc *ranking) zoneFree(k *kind) float64 {
	free := 0.0
	for z := range sc.taken {
		free += k.zones[z] * (1 - sc.taken[z])
	}
	return free
}

// groundLimit is how much ground an addition may defend before two lines that are on the list
// already get at each other.
type groundLimit struct {
	decision stocking.Decision // what the pairing then leads to
	ground   float64           // cm²
	pair     stocking.Pair
}

// readRoom finds the rooms, the graver first. A pairing that already counts against the
// list does not matter.
func (sc *ranking) readRoom() {
	if !sc.base.HasFootprint() {
		return
	}
	for d := stocking.Hold; d > sc.allowed; d-- {
		r := groundLimit{decision: d, ground: math.Inf(1)}
		for _, p := range sc.base.Pairs {
			if sc.base.DecisionFor(p.Level) < d {
				sc.narrow(&r, p)
			}
		}
		if !math.IsInf(r.ground, 1) {
			sc.groundLimits = append(sc.groundLimits, r)
		}
	}
}

// plenty of ground in cm²: a thousand times the largest tank that is sold.
const plenty = 6e7

// narrow lowers a room to what a pairing leaves. More ground never lowers a score, so
// bisection finds where the pairing reaches the decision.
func (sc *ranking) narrow(r *groundLimit, p stocking.Pair) {
	c := sc.base.Conditions(p.First, p.Second)
	others := c.OthersGroundCM2
	reaches := func(ground float64) bool {
		c.OthersGroundCM2 = others + ground
		v := sc.base.ValueOf(&sc.base.Lines[p.First], &sc.base.Lines[p.Second], &c)
		return sc.base.DecisionFor(sc.base.LevelFor(p.First, p.Second, v)) >= r.decision
	}
	low, high := 0.0, min(r.ground, plenty)
	if !reaches(high) {
		return
	}
	r.ground, r.pair = stocking.LastBelow(low, high, reaches), p
}

// readCompany finds what a resident that is alone so far asks for as soon as it is not.
func (sc *ranking) readCompany() {
	if len(sc.base.Lines) != 1 || sc.base.Lines[0].Fish != 1 {
		return
	}
	sc.with.Lines[1].Kind = 1
	alone, beside := sc.base.FindCover(nil, 0), sc.with.FindCover(nil, 0)
	if len(beside) > len(alone) {
		sc.company = &beside[0]
	}
}
