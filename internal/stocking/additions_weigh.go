package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// weighing is one species as it would join, as far as it has been looked at.
type weighing struct {
	rank   rank
	count  int
	joiner *resident
	// reasons against it, where they are gathered for an explanation
	gather  bool
	reasons []reason
}

// reason is one reason against an addition.
type reason struct {
	decision Decision
	with     int     // a line, OwnKind or TheTank
	score    float64 // of the pairing with it, 0 for any other reason
	list     bool    // it lies in the list as a whole
	finding  *Finding
	room     *room
	water    int // the parameter the two do not share, where nothing else is set
}

func (w *weighing) species() *species.Species { return w.joiner.species }

// against counts a reason whose decision the list does not put up with.
func (sc *scan) against(w *weighing, r reason) {
	if r.decision <= sc.bar {
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
func (sc *scan) begin(i, count int, gather bool) weighing {
	sp := sc.base.book.Snapshot.At(i)
	w := sc.resume(rank{index: i, water: sc.waterFit(sp), zone: sc.zoneFree(sp)}, count)
	w.gather = gather
	if sc.of != nil {
		w.rank.likeness = Likeness(sp, sc.of)
	}
	if gather {
		sc.meetTank(&w, len(sc.with.lines)-1)
	} else {
		sc.countTank(&w, len(sc.with.lines)-1)
	}
	sc.meetWater(&w)
	return w
}

// resume makes a species the last line of the list where a weighing was left.
func (sc *scan) resume(r rank, count int) weighing {
	sp := sc.base.book.Snapshot.At(r.index)
	if count == 0 {
		count, _ = groupOf(sp)
	}
	last := len(sc.with.lines) - 1
	line := &sc.with.lines[last]
	*line = resident{
		Line:    Line{Index: r.index, Count: count, Weight: 1, Incoming: true},
		species: sp, heads: count, kind: last, company: count, profile: sc.base.book.Profile(r.index),
	}
	return weighing{count: count, joiner: line, rank: r}
}

// ready gives the species the ground of its group; until then it has its traits only.
func (sc *scan) ready(w *weighing) {
	line := w.joiner
	line.profile = sc.profile(w.rank.index, w.count)
	line.ordinary, line.ground = line.profile, line.profile.Ground()
	sc.with.ground = sc.base.ground + line.ground
}

// profile is the species as a group of count. A shoal no larger than the customary one
// takes the ground of one.
func (sc *scan) profile(i, count int) *conflict.Profile {
	p := sc.base.book.Profile(i)
	customary, known := p.Band(species.GroupMin)
	if known && (float64(count) == customary.Typical || shoals(p.Species) && float64(count) <= customary.Typical) {
		return p
	}
	return p.InNumbers(count, count)
}

// weigh looks at the rest, the cheapest first. With quick it gives up, and returns
// false, once the species cannot be among the best.
func (sc *scan) weigh(w *weighing, quick bool) bool {
	if quick && sc.hopeless(w, true) {
		return false
	}
	sc.ready(w)
	sc.meetRooms(w)
	if quick && sc.hopeless(w, true) || !sc.meetLines(w, quick) || quick && sc.hopeless(w, false) {
		return false
	}
	sc.meetList(w)
	return true
}

// meetRooms looks whether the species leaves the residents the ground they need to keep
// apart, the gravest consequence first.
func (sc *scan) meetRooms(w *weighing) {
	for i := range sc.rooms {
		if r := &sc.rooms[i]; w.joiner.ground > r.ground {
			sc.against(w, reason{decision: r.decision, with: TheTank, list: true, room: r})
			return
		}
	}
}

// hopeless reports that a species is worse than all that are kept, whatever is still to
// come: that only ever adds reasons and conflict. A species without a reason so far may
// yet fit, or get its first reason from a pairing above the bar, or from the list.
func (sc *scan) hopeless(w *weighing, pairsToCome bool) bool {
	r := w.rank
	r.sum -= 1e-6 // the order of adding up
	if r.reasons > 0 {
		return !sc.below.takes(&r)
	}
	if sc.fitting.takes(&r) {
		return false
	}
	r.grave, r.reasons, r.list = sc.bar+1, 1, true
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
func (sc *scan) ceiling() float64 {
	if sc.bar == Proceed {
		return min(conflict.ModerateFrom, sc.base.wanted.Ceiling())
	}
	return sc.base.wanted.Ceiling()
}

// meetLines scores the species with every line and among its own. In the end the scores
// are added up in order of line, so that no digit depends on the scan.
func (sc *scan) meetLines(w *weighing, quick bool) bool {
	n := len(sc.base.lines)
	for at, k := range sc.order {
		before := w.rank.reasons
		sc.meet(w, k)
		if w.rank.reasons > before {
			sc.blame(at)
		}
		if quick && sc.hopeless(w, at+1 < n || w.count >= 2) {
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
func (sc *scan) blame(at int) {
	k := sc.order[at]
	sc.blames[k]++
	for ; at > 0 && sc.blames[sc.order[at-1]] < sc.blames[k]; at-- {
		sc.order[at] = sc.order[at-1]
	}
	sc.order[at] = k
}

// meet scores the species with line k, in the order in which a check of the list
// would; its own place stands for its own kind.
func (sc *scan) meet(w *weighing, k int) {
	n := len(sc.base.lines)
	c := sc.with.conditions(k, n)
	a, b := sc.with.lines[k].profile, w.joiner.profile
	if w.joiner.Index < sc.with.lines[k].Index {
		a, b = b, a
	}
	v := sc.base.book.Model.Value(a, b, &c)
	w.rank.worst, w.rank.sum = max(w.rank.worst, v), w.rank.sum+v
	sc.values[k] = v
	if d := sc.base.decisionFor(conflict.LevelOf(v)); d > sc.bar {
		with := k
		if k == n {
			with = OwnKind
		}
		sc.against(w, reason{decision: d, with: with, score: v})
	}
}
