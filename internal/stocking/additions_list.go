package stocking

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/waterchem"
)

// joinerLoad is what a line adds to the load of a list, as far as the load's findings can
// tell lines apart.
type joinerLoad struct {
	feed   float64 // in proportion to the food of a day (see package waterchem)
	warmth float64 // °C that it would have the tank at, without a reading
	salt   float64 // ppt that it would have the tank at, without a reading
	known  bool
}

func loadOfJoiner(r *resident) joinerLoad {
	l := joinerLoad{feed: float64(r.heads) * math.Pow(r.mass.Typical, waterchem.MassExponent), warmth: math.Inf(-1), known: true}
	if w := &r.species.Water[species.Temperature]; w.Known() {
		l.warmth = (w.Preferred.Low + w.Preferred.High) / 2
	}
	if w := &r.species.Water[species.Salinity]; w.Known() {
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
func (sc *scan) meetList(w *weighing) {
	sc.meetLoad(w)
	sc.find.out = sc.find.out[:0]
	sc.find.crowding()
	sc.found(w, true)
	if sc.company != nil {
		sc.against(w, reason{decision: decisionOfSeverity(sc.company.Severity), list: true, finding: sc.company})
	}
	for k := range sc.base.lines {
		if sc.base.lines[k].kind == k && conflict.Crosses(sc.base.lines[k].species, w.species()) {
			sc.against(w, reason{decision: Advise, with: k, list: true, finding: sc.hybrids(w, k)})
		}
	}
	if sc.base.future != nil {
		sc.meetFuture(w)
	}
}

// hybrids is the finding that the species crosses with a line.
func (sc *scan) hybrids(w *weighing, k int) *Finding {
	return &Finding{Severity: Advice, Lines: []int{k, len(sc.base.lines)},
		Statement: conflict.Statement{Code: Hybrids, Actor: w.species(), Other: sc.base.lines[k].species}}
}

// meetLoad looks at the load of the list with the species in it. A species that loads the
// tank no more than one that was carried well is carried well.
func (sc *scan) meetLoad(w *weighing) {
	if sc.with.tank == nil {
		return
	}
	w.joiner.mass = massOf(w.joiner)
	l := loadOfJoiner(w.joiner)
	if l.atMost(&sc.carried) {
		return
	}
	before := w.rank.reasons
	sc.with.load = sc.with.loadOf()
	sc.find.out = sc.find.out[:0]
	sc.find.loads()
	sc.found(w, true)
	if sc.with.load != nil && w.rank.reasons == before && (!sc.carried.known || sc.carried.atMost(&l)) {
		sc.carried = l
	}
}
