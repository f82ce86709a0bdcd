package additions

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// explain writes out what was kept, the best first.
func (sc *ranking) explain(list []placed) []Addition {
	out := make([]Addition, 0, len(list))
	for i := range list {
		if sc.spent(1) {
			break
		}
		out = append(out, sc.addition(&list[i]))
	}
	return out
}

// addition weighs a species once more, with its reasons.
func (sc *ranking) addition(p *placed) Addition {
	w := sc.begin(p.rank.index, p.rank.likeness, p.count, true)
	sc.weigh(&w, p.values)
	sp := w.species()
	a := Addition{
		Species: sp, Index: p.rank.index, Count: w.count, Fits: len(w.reasons) == 0,
		Decision: sc.decisionWith(&w),
		Worst:    w.rank.worst, Sum: w.rank.sum, Pairing: sc.worstPairing(&w),
		WaterFit: w.rank.water, ZoneFree: w.rank.zone, Likeness: w.rank.likeness,
	}
	a.Customary = sc.kinds[a.Index].customary
	if !a.Fits {
		slices.SortStableFunc(w.reasons, compareReasons)
		a.Limit, a.More = sc.limit(&w, &w.reasons[0]), len(w.reasons)-1
	} else {
		why := sc.why(&w)
		a.Why = &why
	}
	a.Cautions = stocking.SpeciesCautions(sp)
	for i := range sc.base.Lines {
		if sc.base.Book.Model.MayChoke(sc.base.Lines[i].Profile, w.joiner.Profile) {
			a.Cautions = append(a.Cautions, stocking.CautionNote(conflict.Choking, sp))
			break
		}
	}
	return a
}

// decisionWith is that of the whole list with the species in it. Whatever joins only ever
// adds reasons, but for a form of a kind that is on the list: it may complete that kind's
// group. Then the list is judged anew.
func (sc *ranking) decisionWith(w *candidate) stocking.Decision {
	for i := range sc.base.Lines {
		if conflict.OneKind(sc.base.Lines[i].Species, w.species()) {
			j := sc.joined(w)
			j.Judge()
			return j.TankDecision
		}
	}
	return max(sc.base.TankDecision, w.rank.grave)
}

// joined is the list that a check would be sent, with the species in it.
func (sc *ranking) joined(w *candidate) *stocking.Assessment {
	s := stocking.Stock{Tank: sc.base.Tank, Wanted: sc.base.Wanted, Region: sc.base.Region, Budget: sc.base.Budget}
	for i := range sc.base.Lines {
		s.Lines = append(s.Lines, sc.base.Lines[i].Line)
	}
	s.Lines = append(s.Lines, w.joiner.Line)
	return stocking.NewAssessmentFrom(sc.base.Book, &s, sc.base)
}

// compareReasons orders reasons: the gravest first, those of the species before those of
// the list, then the worst pairing.
func compareReasons(a, b reason) int {
	return cmp.Or(cmp.Compare(b.decision, a.decision), falseFirst(a.list, b.list), cmp.Compare(b.score, a.score))
}

// limit states a reason.
func (sc *ranking) limit(w *candidate, r *reason) *stocking.Limit {
	out := &stocking.Limit{Decision: r.decision, With: r.with}
	switch {
	case r.finding != nil:
		out.Statement = r.finding.Statement
	case r.room != nil:
		out.Statement = sc.brief(r.room.pair.First, r.room.pair.Second).Summary
	case r.with == stocking.OwnKind:
		out.Statement = sc.brief(len(sc.base.Lines), len(sc.base.Lines)).Summary
	case r.score > 0:
		out.Statement = sc.brief(r.with, len(sc.base.Lines)).Summary
	default:
		out.Statement = conflict.Statement{Code: stocking.ReasonWaterApart, Actor: w.species(), Other: sc.base.Lines[r.with].Species,
			Words: []conflict.WordCode{stocking.ParameterWord[r.water]}}
	}
	return out
}

// worstPairing explains the worst pairing of the species weighed last; nil for a single
// fish without company.
func (sc *ranking) worstPairing(w *candidate) *Joining {
	n := len(sc.base.Lines)
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
		out.With = stocking.OwnKind
	}
	return &out
}

// brief explains a pairing of the list with the species in it; the species is its last
// line.
func (sc *ranking) brief(k, l int) (out Joining) {
	a, b := &sc.with.Lines[k], &sc.with.Lines[l]
	if b.Index < a.Index {
		a, b = b, a
	}
	c := sc.with.Conditions(k, l)
	out.Score, out.Summary = sc.base.Brief(a.Profile, b.Profile, &c)
	if sc.with.HasDisposition(k, l) {
		if s, _ := sc.base.Brief(a.Ordinary, b.Ordinary, &c); s.Value != out.Score.Value {
			out.SpeciesLevel = &s
		}
	}
	return out
}
