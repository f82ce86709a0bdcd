package additions

import (
	"cmp"
	"math"
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
	beside  *conflict.Beside     // the list, for those who may join
	kinds   []kind               // of the book

	water        [species.NumParameters]listWater
	taken        [species.NumZones]float64 // share of the list's fish at each level
	groundLimits []groundLimit
	// company is what is found about a lone resident as soon as it is not alone.
	company  *stocking.Finding
	carried  joinerLoad // the greatest load that joined without a reason so far
	crowding stocking.Crowding
	// order is the list with the lines first that were in the way most often so far, by
	// blames.
	order, blames []int
	// queue are the species that wait to be scored together; weighed is room for the next ones, and groups for how they join.
	queue, weighed []waiting
	groups         []conflict.Group
	weighing       bool // those who wait

	values  []float64        // scores of the species that is told of with each line, its own kind last
	of      *species.Species // to be replaced, or nil
	fitting best
	below   best
	// later are species with a graver reason of their own, with more of them, and those that so many others precede
	// that they are only asked for if they do not fit.
	later [3][]held

	listed     []int // positions of the species on the list in the snapshot, ascending
	considered int
	here       law.Place  // where the tank is
	rules      []law.Rule // that hold there
	forbidden  int        // species left out for them
	ended      bool       // the budget ended before all was looked at
	share      float64    // of the budget that may be spent so far
}

// scanShare is the part of the budget that the scan may spend, customaryShare what may be spent when those that fit have
// been tried as customary groups; the rest is for telling of what was found.
const scanShare, customaryShare = 0.6, 0.75

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
	sc := &ranking{o: o, base: stocking.NewAssessment(book, s), share: scanShare}
	if len(sc.base.Lines) > 0 {
		sc.base.Judge()
	}
	sc.allowed = min(sc.base.TankDecision, stocking.Advise)
	sc.with = sc.base.In(s.Tank)
	sc.with.Lines = append(slices.Clone(sc.base.Lines), stocking.Resident{})
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
		sc.listed = append(sc.listed, sc.base.Lines[i].Index) // in canonical order
		sc.groups = append(sc.groups, conflict.Group{Index: sc.base.Lines[i].Index, Line: sc.base.Lines[i].Profile})
	}
	sc.here = law.PlaceOf(s.Region)
	sc.rules = law.Under(book.Law, sc.here)
	sc.kinds = kindsOf(book)
	sc.beside = book.Beside(sc.groups, sc.base.Ground, sc.base.PairTank())
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

// held is a species that is looked at later, with the reasons of its own.
type held struct {
	*promise
	grave   stocking.Decision
	reasons int
}

func (h *held) rank() rank {
	return rank{grave: h.grave, reasons: h.reasons, likeness: h.likeness, worst: h.worst, water: 1, zone: 1, index: h.index}
}

// run looks at every species on offer, the most promising first, and of those at the ones without a reason of their
// own, or with one that is as light as any.
func (sc *ranking) run() {
	sc.scan()
	for len(sc.queue) > 0 {
		sc.weighWaiting()
	}
}

func (sc *ranking) scan() {
	for _, step := range sc.promising(sc.offers()) {
		if sc.overtaken(&step[0]) {
			break
		}
		for i := range step {
			if sc.spent(sc.share) {
				return
			}
			if o := &step[i]; !sc.vain(o) {
				sc.look(o)
			}
		}
	}
	for _, list := range sc.later {
		for len(sc.queue) > 0 {
			sc.weighWaiting()
		}
		for i := range list {
			if sc.spent(sc.share) {
				return
			}
			if r := list[i].rank(); !sc.hopeless(r, true) {
				w := sc.resume(r, 0)
				sc.wait(&w, false)
			}
		}
	}
}

// look looks at what a species and the tank do not agree on, and has it scored if that is little.
func (sc *ranking) look(o *promise) {
	w := sc.begin(o.index, o.likeness, 0, false)
	w.rank.worst = o.worst
	switch r := w.rank; {
	case r.reasons == 0 && sc.atLeast(r.index, r.worst) <= sc.allowed && !sc.fitting.takes(&r):
		sc.later[2] = append(sc.later[2], held{o, r.grave, r.reasons})
	case r.reasons == 0 || r.reasons == 1 && r.grave == sc.allowed+1:
		sc.wait(&w, false)
	case r.reasons == 1:
		sc.later[0] = append(sc.later[0], held{o, r.grave, r.reasons})
	case sc.below.takes(&r):
		sc.later[1] = append(sc.later[1], held{o, r.grave, r.reasons})
	}
}

// offers are the species on offer that may join, and are not there already.
func (sc *ranking) offers() []promise {
	out := make([]promise, 0, sc.base.Book.Snapshot.Len())
	sc.eachOffer(func(i int) {
		if sc.onList(i) {
			return
		}
		sp := sc.base.Book.Snapshot.At(i)
		if sp == sc.of || !sc.o.Filters.passes(sp) {
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

// promising puts the species on offer in order, in steps: those with the lowest bounds first, where a species is to be replaced
// those most like it.
func (sc *ranking) promising(offers []promise) [][]promise {
	if sc.of != nil {
		for k := range offers {
			offers[k].likeness = Likeness(sc.base.Book.Snapshot.At(offers[k].index), sc.of)
		}
	}
	kinds := sc.base.Book.Snapshot.Len()
	if len(offers) >= kinds/boundsFrom && !sc.spent(sc.share) {
		sc.base.Budget.Spend(int64(boundsUnit * float64(kinds)))
		least := sc.beside.AtLeast(sc.uneaten(), nil)
		for k := range offers {
			offers[k].worst = max(0, least[offers[k].index]-boundsMargin)
		}
	}
	return sc.inSteps(offers)
}

// inSteps puts species in order, in whole steps of likeness and of the bound.
func (sc *ranking) inSteps(offers []promise) (steps [][]promise) {
	const each = 100/worstStep + 1
	var ends [each*(1/likenessStep+1) + 1]int32
	step := func(o *promise) int {
		like := min(int(o.likeness/likenessStep), 1/likenessStep)
		return (1/likenessStep-like)*each + int(o.worst/worstStep)
	}
	for i := range offers {
		ends[step(&offers[i])+1]++
	}
	for k := 1; k < len(ends); k++ {
		ends[k] += ends[k-1]
	}
	sorted, from := make([]promise, len(offers)), ends
	for i := range offers {
		at := &from[step(&offers[i])]
		sorted[*at] = offers[i]
		*at++
	}
	for k := range len(ends) - 1 {
		if some := sorted[ends[k]:ends[k+1]]; len(some) > 0 {
			steps = append(steps, some)
		}
	}
	return steps
}

// uneaten are the lines of the list, but for those that are there to be eaten.
func (sc *ranking) uneaten() (lines []int) {
	for k := range sc.base.Lines {
		if !sc.base.FeedsJoiners(k) {
			lines = append(lines, k)
		}
	}
	return lines
}

// atLeast is the least decision that a pairing of such a score leads to for a species.
func (sc *ranking) atLeast(index int, score float64) stocking.Decision {
	return sc.base.DecisionFor(sc.base.LeastFor(sc.base.Book.Snapshot.At(index), conflict.LevelOf(score)))
}

// atBest is the best rank that a species may come to.
func (o *promise) atBest() rank {
	return rank{index: o.index, likeness: o.likeness, worst: o.worst, sum: o.worst - boundsMargin, water: 1, zone: 1}
}

// vain reports that a species is worse than all that are kept, whatever comes of a closer look.
func (sc *ranking) vain(o *promise) bool {
	r := o.atBest()
	r.usual = sc.kinds[o.index].usual
	if !sc.wanted(&r) {
		return true
	}
	r.grave, r.reasons = sc.atLeast(o.index, o.worst), 1
	return r.grave > sc.allowed && !sc.below.takes(&r)
}

// wanted reports that a species of a rank without reasons would be kept, or with one that is as light as any.
func (sc *ranking) wanted(r *rank) bool {
	light := *r
	light.grave, light.reasons = sc.allowed+1, 1
	return sc.fitting.takes(r) || sc.below.takes(&light)
}

// overtaken reports that species are worse than all that are kept from the step of one on, whatever comes of a closer look.
func (sc *ranking) overtaken(o *promise) bool {
	if sc.of != nil { // what is more like it may come later within a step
		return false
	}
	least := math.Floor(o.worst/worstStep) * worstStep
	return !sc.wanted(&rank{index: -1, worst: least, sum: least - boundsMargin, water: 1, zone: 1})
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
	_, found := slices.BinarySearch(sc.listed, i)
	return found
}

// offer keeps an entry if it is good enough.
func (b *best) offer(e placed) {
	if b.takes(&e.rank) {
		b.add(e)
	}
}
