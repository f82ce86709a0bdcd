package additions

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/law"
	"commensal/internal/stocking"
)

// ranking ranks every species on offer, each with as little work as shows that it cannot
// be among the best: what is cheap and can only make it worse is looked at first. What
// is kept has been judged in full, so the answer does not depend on the order of the
// scan, and a longer answer begins with the shorter one.
type ranking struct {
	o       *Options
	base    *stocking.Assessment // the list as it stands
	allowed stocking.Decision    // what an addition may lead to without counting against it
	with    *stocking.Assessment // the list with the species that is looked at as its last line
	scratch []stocking.Finding   // room for findings that are only counted
	under   conflict.Conditions  // those of the pairing that was scored last

	water        [species.NumParameters]listWater
	taken        [species.NumZones]float64 // share of the list's fish at each level
	groundLimits []groundLimit
	// company is what is found about a lone resident as soon as it is not alone.
	company *stocking.Finding
	carried joinerLoad // the greatest load that joined without a reason so far
	// order is the list with the lines first that were in the way most often so far, by
	// blames.
	order, blames []int

	values  []float64        // scores of the last species with each line, its own kind last
	of      *species.Species // to be replaced, or nil
	fitting best
	below   best
	// later are species with a graver reason of their own, with more of them, and those that so many others precede
	// that they are only asked for if they do not fit.
	later [3][]rank

	considered int
	here       law.Place  // where the tank is
	rules      []law.Rule // that hold there
	forbidden  int        // species left out for them
	ended      bool       // the budget ended before all was looked at
}

// scanShare is the part of the budget that the scan may spend; the rest is for telling of
// what it found.
const scanShare = 0.6

// spent reports that a share of the budget is spent, and notes it.
func (sc *ranking) spent(share float64) bool {
	if sc.base.Budget.EndedAt(share) {
		sc.ended = true
		return true
	}
	return false
}

// newScan judges the list and prepares what is the same for every species.
func newScan(book *conflict.Book, s *stocking.Stock, o *Options) *ranking {
	sc := &ranking{o: o, base: stocking.NewAssessment(book, s)}
	if len(sc.base.Lines) > 0 {
		sc.base.Judge()
	}
	sc.allowed = min(sc.base.TankDecision, stocking.Advise)
	sc.with = sc.base.In(s.Tank)
	sc.with.Lines = append(slices.Clone(sc.base.Lines), stocking.Resident{})
	sc.values = make([]float64, len(sc.with.Lines))
	limit := cmp.Or(o.Limit, DefaultLimit)
	sc.fitting = best{most: max(pool, limit), enough: limit}
	sc.below.most = max(0, cmp.Or(o.Below, DefaultBelow))
	if o.InsteadOf != nil {
		sc.of = book.Snapshot.At(*o.InsteadOf)
		sc.fitting = best{most: limit}
	}
	sc.order, sc.blames = make([]int, len(sc.base.Lines)), make([]int, len(sc.base.Lines))
	for i := range sc.order {
		sc.order[i] = i
	}
	sc.here = law.PlaceOf(s.Region)
	sc.rules = law.Under(book.Law, sc.here)
	sc.readWater()
	sc.readZones()
	sc.readRoom()
	sc.readCompany()
	return sc
}

// forbids reports a species that may not be sold or kept where the tank is.
func (sc *ranking) forbids(sp *species.Species) bool {
	return len(sc.rules) > 0 && law.Of(sc.rules, sc.here, sp).Hands() == law.Forbidden
}

// promise is what is known of a species on offer before it is looked at.
type promise struct {
	index    int
	likeness float64
	worst    float64 // a score that the worst of its pairings reaches
}

// run looks at every species on offer, the most promising first, and of those at the ones without a reason of their
// own, or with one that is as light as any.
func (sc *ranking) run() {
	for _, o := range sc.promising(sc.offers()) {
		if sc.spent(scanShare) {
			return
		}
		if sc.vain(&o) {
			continue
		}
		w := sc.begin(o.index, 0, false)
		w.rank.worst = o.worst
		switch r := w.rank; {
		case r.reasons == 0 && sc.atLeast(r.index, r.worst) <= sc.allowed && !sc.fitting.takes(&r):
			sc.later[2] = append(sc.later[2], r)
		case r.reasons == 0 || r.reasons == 1 && r.grave == sc.allowed+1:
			sc.place(&w)
		case r.reasons == 1:
			sc.later[0] = append(sc.later[0], r)
		case sc.below.takes(&r):
			sc.later[1] = append(sc.later[1], r)
		}
	}
	for _, list := range sc.later {
		for i := range list {
			if sc.spent(scanShare) {
				return
			}
			if !sc.hopeless(list[i], true) {
				w := sc.resume(list[i], 0)
				sc.place(&w)
			}
		}
	}
}

// offers are the species on offer that may join, and are not there already.
func (sc *ranking) offers() []promise {
	out := make([]promise, 0, sc.base.Book.Snapshot.Len())
	sc.eachOffer(func(i int) {
		sp := sc.base.Book.Snapshot.At(i)
		if sp == sc.of || sc.onList(i) || !sc.o.Filters.passes(sp) {
			return
		}
		if sc.forbids(sp) {
			sc.forbidden++
			return
		}
		sc.considered++
		out = append(out, promise{index: i})
	})
	return out
}

// Bounds of scores are worth their while where at least one in so many species of the catalogue is on offer; they cost
// so many units of the budget for each, and are right within a margin.
const (
	boundsFrom   = 4
	boundsUnit   = 1.0 / 3
	boundsMargin = 1e-6
)

// promising puts the species on offer in order: those with the lowest bounds first, where a species is to be replaced
// those most like it.
func (sc *ranking) promising(offers []promise) []promise {
	if sc.of != nil {
		for k := range offers {
			offers[k].likeness = Likeness(sc.base.Book.Snapshot.At(offers[k].index), sc.of)
		}
	}
	kinds := sc.base.Book.Snapshot.Len()
	if len(offers) >= kinds/boundsFrom && !sc.spent(scanShare) {
		sc.base.Budget.Spend(int64(boundsUnit * float64(kinds)))
		least := sc.base.Book.AtLeast(sc.companies(), sc.base.PairTank(), nil)
		for k := range offers {
			offers[k].worst = max(0, least[offers[k].index]-boundsMargin)
		}
	}
	slices.SortFunc(offers, func(a, b promise) int {
		if a.likeness != b.likeness {
			if c := stepped(b.likeness, a.likeness, likenessStep); c != 0 {
				return c
			}
		}
		if a.worst != b.worst {
			return cmp.Compare(a.worst, b.worst)
		}
		return a.index - b.index
	})
	return offers
}

// companies are the lines of the list, each in that of the others, but for those that are there to be eaten.
func (sc *ranking) companies() (out []conflict.Company) {
	for k := range sc.base.Lines {
		if sc.base.FeedsJoiners(k) {
			continue
		}
		c := conflict.Company{Line: sc.base.Lines[k].Profile}
		if sc.base.HasFootprint() {
			c.OthersCM2 = max(0, sc.base.Ground-sc.base.Lines[k].Ground)
		}
		out = append(out, c)
	}
	return out
}

// atLeast is the least decision that a pairing of such a score leads to for a species.
func (sc *ranking) atLeast(index int, score float64) stocking.Decision {
	return sc.base.DecisionFor(sc.base.LeastFor(sc.base.Book.Snapshot.At(index), conflict.LevelOf(score)))
}

// vain reports that a species is worse than all that are kept, whatever comes of a closer look.
func (sc *ranking) vain(o *promise) bool {
	r := rank{index: o.index, likeness: o.likeness, worst: o.worst, sum: o.worst - boundsMargin, water: 1, zone: 1}
	if grave := sc.atLeast(o.index, o.worst); grave > sc.allowed {
		r.grave, r.reasons = grave, 1
		return !sc.below.takes(&r)
	}
	if sc.fitting.takes(&r) {
		return false
	}
	r.grave, r.reasons = sc.allowed+1, 1
	return !sc.below.takes(&r)
}

// eachOffer calls do for the species on offer in order of id, each once.
func (sc *ranking) eachOffer(do func(i int)) {
	if sc.o.InStock == nil {
		for i := range sc.base.Book.Snapshot.Len() {
			do(i)
		}
		return
	}
	for _, i := range slices.Compact(slices.Sorted(slices.Values(sc.o.InStock))) {
		do(i)
	}
}

func (sc *ranking) onList(i int) bool {
	for k := range sc.base.Lines {
		if sc.base.Lines[k].Index == i {
			return true
		}
	}
	return false
}

// place weighs a species and keeps it where it is among the best. It joins as its
// smallest group; what does not fit so is told of as the customary group.
func (sc *ranking) place(w *candidate) {
	if !sc.weigh(w, true) {
		return
	}
	if w.rank.reasons == 0 {
		sc.fitting.offer(placed{w.rank, w.count})
		return
	}
	if _, customary, _ := stocking.GroupNeed(w.species(), species.Unsexed); customary != w.count {
		*w = sc.begin(w.rank.index, customary, false)
		if !sc.weigh(w, true) {
			return
		}
	}
	sc.below.offer(placed{w.rank, w.count})
}

// offer keeps an entry if it is good enough.
func (b *best) offer(e placed) {
	if b.takes(&e.rank) {
		b.add(e)
	}
}
