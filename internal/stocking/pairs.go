package stocking

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
)

// pair is one pairing of the list, judged without words.
type pair struct {
	first, second int
	at            int     // position in judging.pairs, and in briefs where there are any
	value         float64 // score of the fish as described
	ordinary      float64 // score without dispositions
	level         conflict.Level
	ordinaryLevel conflict.Level
}

// judgePairs scores every two lines, and every line of two fish or more among its own.
func (j *judging) judgePairs() { j.judgePairsWhile(func(*pair) bool { return true }) }

// judgePairsWhile is judgePairs, ended after the first pairing that is not to be followed by more.
func (j *judging) judgePairsWhile(more func(*pair) bool) {
	j.pairs = make([]pair, 0, j.pairCount())
	j.eachPair(func(a, b int) bool { return more(j.score(a, b)) })
}

// score scores one pairing and adds it.
func (j *judging) score(a, b int) *pair {
	x, y := &j.lines[a], &j.lines[b]
	c := j.conditions(a, b)
	value := j.book.Model.Value(x.profile, y.profile, &c)
	ordinary := value
	if j.moody(a, b) {
		ordinary = j.book.Model.Value(x.ordinary, y.ordinary, &c)
	}
	return j.addPair(a, b, value, ordinary)
}

// briefPairs is judgePairs with band, reason and summary of every pairing.
func (j *judging) briefPairs() {
	j.pairs = make([]pair, 0, j.pairCount())
	j.briefs = make([]ListPairing, 0, j.pairCount())
	j.eachPair(func(a, b int) bool {
		j.briefs = append(j.briefs, ListPairing{First: a, Second: b, Conditions: j.conditions(a, b)})
		p := &j.briefs[len(j.briefs)-1]
		x, y := &j.lines[a], &j.lines[b]
		p.Score, p.Summary = j.book.Model.Brief(x.profile, y.profile, &p.Conditions)
		ordinary := p.Score.Value
		if j.moody(a, b) {
			s, _ := j.book.Model.Brief(x.ordinary, y.ordinary, &p.Conditions)
			if ordinary = s.Value; ordinary != p.Score.Value {
				p.SpeciesLevel = &s
			}
		}
		j.addPair(a, b, p.Score.Value, ordinary)
		return true
	})
}

func (j *judging) pairCount() int { return len(j.lines) * (len(j.lines) + 1) / 2 }

// eachPair visits the pairings by first, then second line, while visit says so.
func (j *judging) eachPair(visit func(a, b int) bool) {
	for a := range j.lines {
		if j.lines[a].heads >= 2 && !visit(a, a) {
			return
		}
		for b := a + 1; b < len(j.lines); b++ {
			if !visit(a, b) {
				return
			}
		}
	}
}

// moody reports whether a disposition was observed on either side.
func (j *judging) moody(a, b int) bool {
	x, y := &j.lines[a], &j.lines[b]
	return x.ordinary != x.profile || y.ordinary != y.profile
}

func (j *judging) addPair(a, b int, value, ordinary float64) *pair {
	j.pairs = append(j.pairs, pair{
		first: a, second: b, at: len(j.pairs), value: value, ordinary: ordinary,
		level: conflict.LevelOf(value), ordinaryLevel: conflict.LevelOf(ordinary),
	})
	return &j.pairs[len(j.pairs)-1]
}

// conditions are those of a pairing in this list: in a tank with a footprint the
// ground that all other lines defend is added, else each pairing is judged in its own
// customary tank.
func (j *judging) conditions(a, b int) conflict.Conditions {
	c := conflict.ConditionsFor(j.lines[a].profile, j.lines[b].profile, j.pairTank())
	if j.hasFootprint() {
		others := j.ground - j.lines[a].ground
		if a != b {
			others -= j.lines[b].ground
		}
		c.OthersGroundCM2 = max(0, others)
	}
	return c
}

// above reports whether a pairing is above the wanted level.
func (j *judging) above(l conflict.Level) bool { return l > j.wanted }

// worstPair is the pairing of the highest score among some, the first of equals; nil for
// none.
func (j *judging) worstPair(among func(*pair) bool) (worst *pair) {
	for i := range j.pairs {
		if p := &j.pairs[i]; among(p) && (worst == nil || p.value > worst.value) {
			worst = p
		}
	}
	return worst
}

// worstFirst puts the pairings of briefPairs in order, worst first, equals in order of
// line. It moves them within their slice, which is large: where the one that belongs
// at i has been swapped away, the order itself tells where it went.
func (j *judging) worstFirst() []ListPairing {
	order := slices.Clone(j.pairs)
	slices.SortStableFunc(order, func(a, b pair) int { return cmp.Compare(b.value, a.value) })
	for i := range order {
		from := order[i].at
		for from < i {
			from = order[from].at
		}
		j.briefs[i], j.briefs[from] = j.briefs[from], j.briefs[i]
	}
	return j.briefs
}

// ExplainPairing explains one pairing of the list in full, under the conditions in
// which the list judges it. The lines are positions in Check.Lines of the same list; ok
// is false when either is out of range, or both are the same line of a single fish.
func ExplainPairing(book *conflict.Book, s Stock, first, second int) (p conflict.Pairing, ok bool) {
	if s.Validate(book) != nil {
		return p, false
	}
	j := prepare(book, &s)
	if min(first, second) < 0 || max(first, second) >= len(j.lines) || (first == second && j.lines[first].heads < 2) {
		return p, false
	}
	c := j.conditions(first, second)
	return book.Model.ExplainIn(j.lines[first].profile, j.lines[second].profile, c), true
}
