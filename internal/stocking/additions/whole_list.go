package additions

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// joinerLoad is what a line adds to the load of a list, as far as the load's findings can
// tell lines apart.
type joinerLoad struct {
	feed   float64 // in proportion to the food of a day (see package waterchem)
	warmth float64 // °C that it would have the tank at, without a reading
	salt   float64 // ppt that it would have the tank at, without a reading
	known  bool
}

func (sc *ranking) loadOf(r *stocking.Resident, k *kind) joinerLoad {
	l := joinerLoad{feed: float64(r.Fish) * k.feed, warmth: math.Inf(-1), known: true}
	if w := &r.Species.Water[species.Temperature]; w.Known() && !sc.base.Reading(species.Temperature).Known {
		l.warmth = (w.Preferred.Low + w.Preferred.High) / 2
	}
	if w := &r.Species.Water[species.Salinity]; w.Known() && !sc.base.Reading(species.Salinity).Known {
		l.salt = w.Preferred.Low
	}
	return l
}

// atMost reports whether a line loads the tank no more than another one: food, oxygen
// and nitrate all rise with each part.
func (l *joinerLoad) atMost(o *joinerLoad) bool {
	return o.known && l.feed <= o.feed && l.warmth <= o.warmth && l.salt <= o.salt
}

// meetList looks at what is found about the list as a whole with the species in it.
func (sc *ranking) meetList(w *candidate) {
	sc.meetLoad(w)
	sc.meetCrowding(w)
	if sc.company != nil {
		sc.against(w, reason{decision: decisionOfSeverity(sc.company.Severity), list: true, finding: sc.company})
	}
	for k := range sc.base.Lines {
		if sc.base.Lines[k].Kind == k && conflict.Crosses(sc.base.Lines[k].Species, w.species()) {
			sc.against(w, reason{decision: decisionOfSeverity(stocking.Crossing), with: k, list: true, finding: sc.hybrids(w, k)})
		}
	}
	if sc.base.Grows() {
		sc.meetFuture(w)
	}
}

// meetCrowding looks whether the list crowds the tank with the species in it.
func (sc *ranking) meetCrowding(w *candidate) {
	if !sc.with.HasFootprint() {
		return
	}
	c := sc.crowding
	if c.Add(w.joiner); c.Over(sc.with.Tank.LengthCM * sc.with.Tank.WidthCM) {
		sc.found(w, sc.with.FindCrowding(sc.scratch[:0]), true)
	}
}

// hybrids is the finding that the species crosses with a line.
func (sc *ranking) hybrids(w *candidate, k int) *stocking.Finding {
	return &stocking.Finding{Severity: stocking.Crossing, Lines: []int{k, len(sc.base.Lines)},
		Statement: conflict.Statement{Code: stocking.Hybrids, Actor: w.species(), Other: sc.base.Lines[k].Species}}
}

// meetLoad looks at the load of the list with the species in it. A species that loads the
// tank no more than one that was carried well is carried well.
func (sc *ranking) meetLoad(w *candidate) {
	if sc.with.Tank == nil {
		return
	}
	k := &sc.kinds[w.rank.index]
	w.joiner.Mass = k.mass
	l := sc.loadOf(w.joiner, k)
	if l.atMost(&sc.carried) {
		return
	}
	before := w.rank.reasons
	sc.found(w, sc.with.FindLoad(sc.scratch[:0]), true)
	if sc.with.Load != nil && w.rank.reasons == before && (!sc.carried.known || sc.carried.atMost(&l)) {
		sc.carried = l
	}
}
