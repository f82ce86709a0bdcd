package additions

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// candidate is one species as it would join, as far as it has been looked at.
type candidate struct {
	rank   rank
	count  int
	joiner *stocking.Resident
	// reasons against it, where they are gathered for an explanation
	gather  bool
	reasons []reason
}

// reason is one reason against an addition.
type reason struct {
	decision stocking.Decision
	with     int     // a line, OwnKind or TheTank
	score    float64 // of the pairing with it, 0 for any other reason
	list     bool    // it lies in the list as a whole
	finding  *stocking.Finding
	room     *groundLimit
	water    int // the parameter the two do not share, where nothing else is set
}

func (w *candidate) species() *species.Species { return w.joiner.Species }

// against counts a reason whose decision the list does not put up with.
func (sc *ranking) against(w *candidate, r reason) {
	if r.decision <= sc.allowed {
		return
	}
	w.rank.reasons++
	w.rank.grave = max(w.rank.grave, r.decision)
	w.rank.list = w.rank.list || r.list
	if w.gather {
		w.reasons = append(w.reasons, r)
	}
}

// begin makes a species the last line of the list, as a group of count or 0 for its
// smallest, and looks at what it and the tank do not agree on. With gather the reasons
// are kept.
func (sc *ranking) begin(i, count int, gather bool) candidate {
	sp := sc.base.Book.Snapshot.At(i)
	w := sc.resume(rank{index: i, water: 1, zone: 1}, count)
	w.gather = gather
	if sc.of != nil {
		w.rank.likeness = Likeness(sp, sc.of)
	}
	if gather {
		sc.meetTank(&w, len(sc.with.Lines)-1)
	} else {
		sc.countTank(&w, len(sc.with.Lines)-1)
	}
	sc.meetWater(&w)
	return w
}

// resume makes a species the last line of the list where a candidate was left.
func (sc *ranking) resume(r rank, count int) candidate {
	sp := sc.base.Book.Snapshot.At(r.index)
	if count == 0 {
		count, _, _ = stocking.GroupNeed(sp, species.Unsexed)
	}
	last := len(sc.with.Lines) - 1
	line := &sc.with.Lines[last]
	*line = stocking.Resident{
		Line:    stocking.Line{Index: r.index, Count: count, Weight: 1, Incoming: true},
		Species: sp, Fish: count, Kind: last, Company: count, Profile: sc.base.Book.Profile(r.index),
	}
	return candidate{count: count, joiner: line, rank: r}
}

// fit looks how well the species fits into what the list leaves free, and how usual it is; until then it is taken to
// be the best.
func (sc *ranking) fit(w *candidate) {
	w.rank.water, w.rank.zone, w.rank.usual = sc.waterFit(w.species()), sc.zoneFree(w.species()), usualness(w.species())
}

// ready gives the species the ground of its group; until then it has its traits only.
func (sc *ranking) ready(w *candidate) {
	line := w.joiner
	line.Profile = sc.profile(w.rank.index, w.count)
	line.Ordinary, line.Ground = line.Profile, line.Profile.Ground()
	sc.with.Ground = sc.base.Ground + line.Ground
}

// profile is the species as a group of count. A shoal no larger than the customary one
// takes the ground of one.
func (sc *ranking) profile(i, count int) *conflict.Profile {
	p := sc.base.Book.Profile(i)
	customary, known := p.Band(species.GroupMin)
	if known && (float64(count) == customary.Typical || stocking.Shoals(p.Species) && float64(count) <= customary.Typical) {
		return p
	}
	return p.InNumbers(count, count)
}

// weigh looks at the rest, the cheapest first. With quick it gives up, and returns
// false, once the species cannot be among the best.
func (sc *ranking) weigh(w *candidate, quick bool) bool {
	if quick && sc.hopeless(w.rank, true) {
		return false
	}
	sc.fit(w)
	sc.ready(w)
	sc.meetRooms(w)
	if quick && sc.hopeless(w.rank, true) || !sc.meetLines(w, quick) || quick && sc.hopeless(w.rank, false) {
		return false
	}
	sc.meetList(w)
	return true
}

// meetRooms looks whether the species leaves the residents the ground they need to keep
// apart, the gravest consequence first.
func (sc *ranking) meetRooms(w *candidate) {
	for i := range sc.groundLimits {
		if r := &sc.groundLimits[i]; w.joiner.Ground > r.ground {
			sc.against(w, reason{decision: r.decision, with: stocking.TheTank, list: true, room: r})
			return
		}
	}
}

// hopeless reports that a species is worse than all that are kept, whatever is still to
// come: that only ever adds reasons and conflict. A species without a reason so far may
// yet fit, or get its first reason from a pairing above the bar, or from the list.
func (sc *ranking) hopeless(r rank, pairsToCome bool) bool {
	r.sum -= 1e-6 // the order of adding up
	if r.reasons > 0 {
		return !sc.below.takes(&r)
	}
	if sc.fitting.takes(&r) {
		return false
	}
	r.grave, r.reasons, r.list = sc.allowed+1, 1, true
	if sc.below.takes(&r) {
		return false
	}
	if !pairsToCome {
		return true
	}
	least := sc.ceiling()
	r.list, r.sum, r.worst = false, r.sum+least, max(r.worst, least)
	return !sc.below.takes(&r)
}

// ceiling is the least score of a pairing that counts.
func (sc *ranking) ceiling() float64 {
	if sc.allowed == stocking.Proceed {
		return min(conflict.ModerateFrom, sc.base.Wanted.Ceiling())
	}
	return sc.base.Wanted.Ceiling()
}

// meetLines scores the species with every line and among its own. In the end the scores
// are added up in order of line, so that no digit depends on the scan.
func (sc *ranking) meetLines(w *candidate, quick bool) bool {
	n := len(sc.base.Lines)
	for at, k := range sc.order {
		before := w.rank.reasons
		sc.meet(w, k)
		if w.rank.reasons > before {
			sc.blame(at)
		}
		if quick && sc.hopeless(w.rank, at+1 < n || w.count >= 2) {
			return false
		}
	}
	if sc.values[n] = 0; w.count >= 2 {
		sc.meet(w, n)
	}
	w.rank.sum = 0
	for _, v := range sc.values {
		w.rank.sum += v
	}
	return true
}

// blame remembers that the line at a place of the order was in the way, and moves it
// ahead of those that were so less often.
func (sc *ranking) blame(at int) {
	k := sc.order[at]
	sc.blames[k]++
	for ; at > 0 && sc.blames[sc.order[at-1]] < sc.blames[k]; at-- {
		sc.order[at] = sc.order[at-1]
	}
	sc.order[at] = k
}

// conditions are those of the species with line k. In a tank of known size only the ground of others differs from line to
// line.
func (sc *ranking) conditions(k int) *conflict.Conditions {
	n := len(sc.base.Lines)
	if sc.under.LengthCM == 0 || !sc.with.HasFootprint() {
		sc.under = sc.with.Conditions(k, n)
		return &sc.under
	}
	others := sc.with.Ground - sc.with.Lines[k].Ground
	if k != n {
		others -= sc.with.Lines[n].Ground
	}
	sc.under.OthersGroundCM2 = max(0, others)
	return &sc.under
}

// meet scores the species with line k, in the order in which a check of the list
// would; its own place stands for its own kind.
func (sc *ranking) meet(w *candidate, k int) {
	n := len(sc.base.Lines)
	c := sc.conditions(k)
	a, b := sc.with.Lines[k].Profile, w.joiner.Profile
	if w.joiner.Index < sc.with.Lines[k].Index {
		a, b = b, a
	}
	v := sc.base.Value(a, b, c)
	w.rank.worst, w.rank.sum = max(w.rank.worst, v), w.rank.sum+v
	sc.values[k] = v
	if d := sc.base.DecisionFor(sc.with.LevelFor(k, n, v)); d > sc.allowed {
		with := k
		if k == n {
			with = stocking.OwnKind
		}
		sc.against(w, reason{decision: d, with: with, score: v})
	}
}
