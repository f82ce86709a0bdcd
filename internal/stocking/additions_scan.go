package stocking

import (
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// spare is how many more candidates than asked for the scan keeps, so that those the
// full judging turns down can be replaced.
const spare = 24

// scan ranks every species by a quick look, then judges the best of them in full.
type scan struct {
	book  *conflict.Book
	stock *Stock
	o     *AdditionOptions
	base  *judging // the list as it stands

	water      [species.NumParameters]listWater
	taken      [species.NumZones]float64 // share of the list's fish at each level
	onList     map[int]bool
	fitting    best
	below      best
	considered int
}

// listWater is what the list leaves of one parameter.
type listWater struct {
	tolerated species.Range
	best      float64 // the reading, or where the list is least stressed
	known     bool
}

func newScan(book *conflict.Book, s *Stock, o *AdditionOptions) *scan {
	sc := &scan{book: book, stock: s, o: o, base: prepare(book, s), onList: map[int]bool{}}
	sc.base.judge()
	sc.fitting.most = orDefault(o.Limit, DefaultAdditions) + spare
	sc.below.most = orDefault(o.Below, DefaultBelow) + spare
	if o.Below < 0 {
		sc.below.most = 0
	}
	total := 0.0
	for i := range sc.base.lines {
		r := &sc.base.lines[i]
		sc.onList[r.Index] = true
		if r.species.Zones.Known() {
			weight := float64(r.heads) * r.profile.Length()
			total += weight
			for z, share := range r.species.Zones.Share {
				sc.taken[z] += weight * share
			}
		}
	}
	for z := range sc.taken {
		sc.taken[z] /= max(total, 1)
	}
	sc.readWater()
	return sc
}

func orDefault(n, fallback int) int {
	if n == 0 {
		return fallback
	}
	return n
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
		w.tolerated = species.Range{Low: math.Inf(-1), High: math.Inf(1)}
		for _, line := range profiles {
			if own := line.Species.Water[p]; own.Known() {
				w.tolerated = species.Range{Low: max(w.tolerated.Low, own.Tolerated.Low), High: min(w.tolerated.High, own.Tolerated.High)}
			}
		}
		w.best, _, w.known = conflict.BestWater(profiles, p)
		if r := sc.base.reading(p); r.Known {
			w.best, w.known = r.Value, true
		}
	}
}

// run looks at every species on offer.
func (sc *scan) run() {
	offer := sc.o.InStock
	if offer == nil {
		offer = make([]int, sc.book.Snapshot.Len())
		for i := range offer {
			offer[i] = i
		}
	} else {
		offer = slices.Compact(slices.Sorted(slices.Values(offer)))
	}
	for _, i := range offer {
		sp := sc.book.Snapshot.At(i)
		if sc.onList[i] || (sc.o.InsteadOf != nil && i == *sc.o.InsteadOf) || !sc.o.Filters.passes(sp) {
			continue
		}
		sc.considered++
		sc.look(i, sp)
	}
}

// look ranks one species without judging the whole list anew.
func (sc *scan) look(i int, sp *species.Species) {
	r := rank{index: i, water: sc.waterFit(sp), zone: sc.zoneFree(sp)}
	if sc.o.InsteadOf != nil {
		r.likeness = Likeness(sp, sc.book.Snapshot.At(*sc.o.InsteadOf))
	}
	for w := range species.Parameter(species.NumParameters) {
		own := sp.Water[w]
		if !own.Known() {
			continue
		}
		if _, ok := own.Tolerated.Intersect(sc.water[w].tolerated); !ok {
			r.reason(Hold)
		}
		if reading := sc.base.reading(w); reading.Known && !own.Tolerated.Contains(reading.Value) {
			r.reason(Hold)
		}
	}
	if need := sp.Traits[species.TankLength]; sc.base.hasFootprint() && need.Known() && sc.base.tank.LengthCM < need.Low {
		r.reason(Hold)
	}
	count := smallestGroup(sp)
	if sc.hopeless(&r) || !sc.lookAtPairs(&r, sc.profile(i, count), count) {
		return
	}
	into := &sc.fitting
	if r.grave > Proceed {
		into = &sc.below
	}
	if into.takes(&r) {
		into.add(placed{r, count})
	}
}

// profile is the species as a group of count.
func (sc *scan) profile(i, count int) *conflict.Profile {
	p := sc.book.Profile(i)
	if float64(count) == sc.book.Snapshot.At(i).Traits[species.GroupMin].Typical {
		return p
	}
	return p.InNumbers(count, count)
}

// hopeless reports whether a species that already has a reason against it is worse than
// all that are kept: what is still to come can only make it worse.
func (sc *scan) hopeless(r *rank) bool { return r.grave > Proceed && !sc.below.takes(r) }

// reason counts a reason against a species.
func (r *rank) reason(d Decision) {
	r.reasons++
	r.grave = max(r.grave, d)
}

// lookAtPairs scores the species with every line and among its own. It stops, and
// returns false, as soon as the species is hopeless.
func (sc *scan) lookAtPairs(r *rank, p *conflict.Profile, count int) bool {
	if count >= 2 {
		sc.lookAt(r, p, p, sc.base.ground)
	}
	for k := range sc.base.lines {
		line := &sc.base.lines[k]
		if sc.lookAt(r, line.profile, p, sc.base.ground-line.ground); sc.hopeless(r) {
			return false
		}
	}
	return true
}

func (sc *scan) lookAt(r *rank, a, p *conflict.Profile, others float64) {
	c := conflict.ConditionsFor(a, p, sc.base.pairTank())
	if sc.base.hasFootprint() {
		c.OthersGroundCM2 = max(0, others)
	}
	v := sc.book.Model.Value(a, p, &c)
	r.worst, r.sum = max(r.worst, v), r.sum+v
	if d := sc.base.decisionFor(conflict.LevelOf(v)); d > sc.base.decision || d == Hold {
		r.reason(d)
	}
}

// smallestGroup is the fewest fish that are defensible.
func smallestGroup(sp *species.Species) int {
	if v := sp.Trait(species.GroupMin, sp.SoldAs); v.Known() {
		return max(1, int(math.Ceil(v.Low)))
	}
	return 1
}

// waterFit is 1 where the list's water is what the species prefers, falling to 0 at the
// edge of what it tolerates, for the parameter that suits it least.
func (sc *scan) waterFit(sp *species.Species) float64 {
	fit := 1.0
	for p := range sc.water {
		w := sp.Water[p]
		if !sc.water[p].known || !w.Known() {
			continue
		}
		x := sc.water[p].best
		switch {
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

// zoneFree is the share of the species' levels that the list leaves free.
func (sc *scan) zoneFree(sp *species.Species) float64 {
	if !sp.Zones.Known() {
		return 0
	}
	free := 0.0
	for z, share := range sp.Zones.Share {
		free += share * (1 - sc.taken[z])
	}
	return free
}
