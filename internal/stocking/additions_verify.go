package stocking

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
)

// explain writes out what was kept, the best first.
func (sc *scan) explain(b *best) []Addition {
	slices.SortFunc(b.heap, func(x, y placed) int { return x.rank.compare(&y.rank) })
	out := make([]Addition, len(b.heap))
	for i := range b.heap {
		out[i] = sc.addition(&b.heap[i])
	}
	return out
}

// addition weighs a species once more, with its reasons.
func (sc *scan) addition(p *placed) Addition {
	w := sc.begin(p.rank.index, p.count, true)
	sc.weigh(&w, false)
	sp := w.species()
	a := Addition{
		Species: sp, Index: p.rank.index, Count: w.count, Fits: len(w.reasons) == 0,
		Decision: max(sc.base.decision, w.rank.grave),
		Worst:    w.rank.worst, Sum: w.rank.sum, Pairing: sc.worstPairing(&w),
		WaterFit: w.rank.water, ZoneFree: w.rank.zone, Likeness: w.rank.likeness,
	}
	_, a.Customary = groupOf(sp)
	if !a.Fits {
		slices.SortStableFunc(w.reasons, compareReasons)
		a.Limit, a.More = sc.limit(&w, &w.reasons[0]), len(w.reasons)-1
	}
	a.Cautions = appendCautions(appendCautions(nil, sp, true), sp, false)
	for i := range sc.base.lines {
		if sc.base.book.Model.MayChoke(sc.base.lines[i].profile, w.joiner.profile) {
			a.Cautions = append(a.Cautions, note(conflict.Choking, sp))
			break
		}
	}
	return a
}

// compareReasons orders reasons: the gravest first, those of the species before those of
// the list, then the worst pairing.
func compareReasons(a, b reason) int {
	return cmp.Or(cmp.Compare(b.decision, a.decision), compareBool(a.list, b.list), cmp.Compare(b.score, a.score))
}

// limit states a reason.
func (sc *scan) limit(w *weighing, r *reason) *Limit {
	out := &Limit{Decision: r.decision, With: r.with}
	switch {
	case r.finding != nil:
		out.Statement = r.finding.Statement
	case r.room != nil:
		out.Statement = sc.brief(r.room.pair.first, r.room.pair.second).Summary
	case r.with == OwnKind:
		out.Statement = sc.brief(len(sc.base.lines), len(sc.base.lines)).Summary
	case r.score > 0:
		out.Statement = sc.brief(r.with, len(sc.base.lines)).Summary
	default:
		out.Statement = conflict.Statement{Code: ReasonWaterApart, Actor: w.species(), Other: sc.base.lines[r.with].species,
			Words: []conflict.WordCode{parameterWord[r.water]}}
	}
	return out
}

// worstPairing explains the worst pairing of the species weighed last; nil for a single
// fish without company.
func (sc *scan) worstPairing(w *weighing) *Joining {
	n := len(sc.base.lines)
	worst := -1
	for k := range sc.values {
		if (k < n || w.count >= 2) && (worst < 0 || sc.values[k] > sc.values[worst]) {
			worst = k
		}
	}
	if worst < 0 {
		return nil
	}
	out := sc.brief(worst, n)
	if out.With = worst; worst == n {
		out.With = OwnKind
	}
	return &out
}

// brief explains a pairing of the list with the species in it; the species is its last
// line.
func (sc *scan) brief(k, l int) (out Joining) {
	a, b := &sc.with.lines[k], &sc.with.lines[l]
	if b.Index < a.Index {
		a, b = b, a
	}
	c := sc.with.conditions(k, l)
	out.Score, out.Summary = sc.base.book.Model.Brief(a.profile, b.profile, &c)
	if sc.with.moody(k, l) {
		if s, _ := sc.base.book.Model.Brief(a.ordinary, b.ordinary, &c); s.Value != out.Score.Value {
			out.SpeciesLevel = &s
		}
	}
	return out
}
