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
func (sc *ranking) begin(i int, likeness float64, count int, gather bool) candidate {
	w := sc.resume(rank{index: i, likeness: likeness, water: 1, zone: 1}, count)
	w.gather = gather
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
	if count == 0 {
		count = sc.kinds[r.index].least
	}
	r.usual = sc.kinds[r.index].usual
	last := len(sc.with.Lines) - 1
	line := &sc.with.Lines[last]
	*line = joining(sc.base.Book, r.index, count, last)
	return candidate{count: count, joiner: line, rank: r}
}

// fit looks how well the species fits into what the list leaves free; until then it is taken to be the best.
func (sc *ranking) fit(w *candidate) {
	k := &sc.kinds[w.rank.index]
	w.rank.water, w.rank.zone = sc.waterFit(k), sc.zoneFree(k)
}

// ready makes the species a group, with its ground; until then it has its traits only.
func (sc *ranking) ready(w *candidate, group *conflict.Profile) {
	line := w.joiner
	line.Profile = group
	line.Ordinary, line.Ground = line.Profile, line.Profile.Ground()
	sc.with.Ground = sc.base.Ground + line.Ground
}

// profile is the species as a group of count. A shoal no larger than the customary one
// takes the ground of one.
func (sc *ranking) profile(i, count int) *conflict.Profile {
	p, k := sc.base.Book.Profile(i), &sc.kinds[i]
	if float64(count) == k.group || k.shoals && float64(count) <= k.group {
		return p
	}
	return p.InNumbers(count, count)
}

// weigh looks at the rest of a species whose pairings were scored before, its own kind last.
func (sc *ranking) weigh(w *candidate, values []float64) {
	sc.fit(w)
	sc.ready(w, sc.profile(w.rank.index, w.count))
	sc.meetRooms(w)
	sc.values = values
	for k, v := range values[:len(sc.base.Lines)] {
		sc.meet(w, k, v)
	}
	if w.count >= 2 {
		sc.meet(w, len(sc.base.Lines), values[len(sc.base.Lines)])
	}
	sc.meetList(w)
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

// ownValue scores the species among its own.
func (sc *ranking) ownValue(w *candidate) float64 {
	n := len(sc.base.Lines)
	c := sc.with.Conditions(n, n)
	return sc.base.Value(w.joiner.Profile, w.joiner.Profile, &c)
}

// meet counts the score of the species with line k; its own place stands for its own kind. It reports whether
// that is a reason against it.
func (sc *ranking) meet(w *candidate, k int, v float64) bool {
	n := len(sc.base.Lines)
	w.rank.worst, w.rank.sum = max(w.rank.worst, v), w.rank.sum+v
	d := sc.base.DecisionFor(sc.with.LevelFor(k, n, v))
	if d <= sc.allowed {
		return false
	}
	with := k
	if k == n {
		with = stocking.OwnKind
	}
	sc.against(w, reason{decision: d, with: with, score: v})
	return true
}
