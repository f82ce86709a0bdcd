package stocking

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// listWater is what the list leaves of one parameter.
type listWater struct {
	extremes
	best      float64 // the reading, or where the list is least stressed
	bestKnown bool
}

// readWater finds, for each parameter, what every line tolerates and where the list is
// best off.
func (sc *scan) readWater() {
	profiles := make([]*conflict.Profile, len(sc.base.lines))
	for i := range sc.base.lines {
		profiles[i] = sc.base.lines[i].profile
	}
	for p := range species.Parameter(species.NumParameters) {
		w := &sc.water[p]
		w.extremes = sc.base.extremesOf(p)
		w.best, _, w.bestKnown = conflict.BestWater(profiles, p)
		if r := sc.base.reading(p); r.Known {
			w.best, w.bestKnown = r.Value, true
		}
	}
}

// waterFit is 1 where the list's water is what the species prefers, falling to 0 at the
// edge of what it tolerates, for the parameter that suits it least.
func (sc *scan) waterFit(sp *species.Species) float64 {
	fit := 1.0
	for p := range sc.water {
		w := &sp.Water[p]
		if !sc.water[p].bestKnown || !w.Known() {
			continue
		}
		switch x := sc.water[p].best; {
		case x < w.Preferred.Low:
			fit = min(fit, within(x, w.Tolerated.Low, w.Preferred.Low))
		case x > w.Preferred.High:
			fit = min(fit, within(x, w.Tolerated.High, w.Preferred.High))
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

// readZones finds how the fish on the list share the levels, each by its area.
func (sc *scan) readZones() {
	f := finder{judging: sc.base}
	total, byZone := f.swum()
	for z := range byZone {
		if total > 0 {
			sc.taken[z] = byZone[z] / total
		}
	}
}

// zoneFree is the share of the species' levels that the list leaves free; levels that
// are not on record are taken to be all alike.
func (sc *scan) zoneFree(sp *species.Species) float64 {
	free := 0.0
	for z := range sc.taken {
		share := 1 / float64(species.NumZones)
		if sp.Zones.Known() {
			share = sp.Zones.Share[z]
		}
		free += share * (1 - sc.taken[z])
	}
	return free
}

// room is how much ground an addition may defend before two lines that are on the list
// already get at each other.
type room struct {
	decision Decision // what the pairing then leads to
	ground   float64  // cm²
	pair     pair
}

// readRoom finds the rooms, the graver first. A pairing that already counts against the
// list does not matter.
func (sc *scan) readRoom() {
	if !sc.base.hasFootprint() {
		return
	}
	for d := Hold; d > sc.bar; d-- {
		r := room{decision: d, ground: math.Inf(1)}
		for _, p := range sc.base.pairs {
			if sc.base.decisionFor(p.level) < d {
				sc.narrow(&r, p)
			}
		}
		if !math.IsInf(r.ground, 1) {
			sc.rooms = append(sc.rooms, r)
		}
	}
}

// plenty of ground in cm²: a thousand times the largest tank that is sold.
const plenty = 6e7

// narrow lowers a room to what a pairing leaves. More ground never lowers a score, so
// bisection finds where the pairing reaches the decision.
func (sc *scan) narrow(r *room, p pair) {
	c := sc.base.conditions(p.first, p.second)
	others := c.OthersGroundCM2
	reaches := func(ground float64) bool {
		c.OthersGroundCM2 = others + ground
		v := sc.base.book.Model.Value(sc.base.lines[p.first].profile, sc.base.lines[p.second].profile, &c)
		return sc.base.decisionFor(conflict.LevelOf(v)) >= r.decision
	}
	low, high := 0.0, min(r.ground, plenty)
	if !reaches(high) {
		return
	}
	for range bisections {
		if mid := (low + high) / 2; reaches(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	r.ground, r.pair = low, p
}

// readCompany finds what a resident that is alone so far asks for as soon as it is not.
func (sc *scan) readCompany() {
	if len(sc.base.lines) != 1 || sc.base.lines[0].heads != 1 {
		return
	}
	alone := finder{judging: sc.base}
	alone.cover(0)
	sc.with.lines[1].kind = 1
	sc.find.out = nil
	sc.find.cover(0)
	if len(sc.find.out) > len(alone.out) {
		f := sc.find.out[0]
		sc.company = &f
	}
}

func ceil(x float64) int { return int(math.Ceil(x)) }
