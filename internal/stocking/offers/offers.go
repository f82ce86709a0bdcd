// Package offers finds what could be sold with a check: instead of what it holds, or beside the list where nothing is
// held. An offer is an addition (package additions) to the list without what is held, judged once more as the list would be
// with it: the decision is no worse than the list's own, and nothing is to be mended about what is offered.
package offers

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/additions"
)

// What is said of an offer, and where there is none.
const (
	Instead     stocking.Code = "offer.instead"
	Beside      stocking.Code = "offer.beside"
	NothingFits stocking.Code = "offer.nothing_fits"
	TankFirst   stocking.Code = "offer.tank_first"
	TooLong     stocking.Code = "offer.too_long"
)

// English are the English sentences of this package, see [conflict.Table].
var English = conflict.Table{
	Sentences: map[conflict.Code]string{
		Instead:     "You could take {n_kinds} instead.",
		Beside:      "You could take {n_kinds} as well.",
		NothingFits: "Nothing on offer would fit in.",
		TankFirst:   "The tank has to be put right first: nothing is offered for it.",
		TooLong:     "The list is too long to look for everything that would fit in.",
	},
}

// Options say what is offered.
type Options struct {
	Most int
	// InStock are the positions in the snapshot of the species on offer; nil offers the whole catalogue.
	InStock []int
}

// Offers is what could be sold with a check.
type Offers struct {
	// Lines are the positions in the check's lines of what stays, beside which the offers were judged: all that is not
	// held. Held reports whether anything is.
	Lines []int
	Held  bool
	// Decision and TankDecision are those of these lines as they are; Proceed where there are none.
	Decision, TankDecision stocking.Decision
	// Offered are the offers, the best first, each as its smallest group.
	Offered []Offer
	// None says why there is none; nil where there is one.
	None *conflict.Statement

	fullness int // of these lines, see [stocking.Fullness]
}

// Offer is a kind that could be sold.
type Offer struct {
	additions.Addition
	Spoken conflict.Statement // one line for whoever stands at the counter
}

// Find finds the offers for a list that was judged. The budget of the list bounds the work; what is offered is right
// whenever it ends.
func Find(book *conflict.Book, s stocking.Stock, check *stocking.Check, o Options) (Offers, error) {
	rest, held := without(&s, check)
	out := Offers{Held: held.any()}
	for i := range check.Lines {
		if !held.lines[i] {
			out.Lines = append(out.Lines, i)
		}
	}
	out.Decision, out.TankDecision, out.fullness = decisions(book, rest)
	if out.TankDecision == stocking.Hold || out.Decision == stocking.Hold { // nothing joins what must wait
		out.None = &conflict.Statement{Code: TankFirst}
		return out, nil
	}
	complete, err := out.find(book, rest, held.kind(check, rest), o)
	switch {
	case err != nil || len(out.Offered) > 0:
	case complete:
		out.None = &conflict.Statement{Code: NothingFits}
	default:
		out.None = &conflict.Statement{Code: TooLong}
	}
	return out, err
}

// find ranks what could join the rest and keeps what the rest's decision bears. complete is false where the budget ended
// before all was looked at.
func (out *Offers) find(book *conflict.Book, rest *stocking.Stock, instead *int, o Options) (complete bool, err error) {
	if o.Most <= 0 {
		return true, nil
	}
	found, err := additions.Rank(book, *rest, additions.Options{Limit: 2 * o.Most, Below: -1, InStock: o.InStock, InsteadOf: instead})
	if err != nil {
		return false, err
	}
	code := Beside
	if out.Held {
		code = Instead
	}
	for i := range found.Fitting {
		a := &found.Fitting[i]
		if len(out.Offered) == o.Most {
			break
		}
		if rest.Budget.Ended() {
			return false, nil
		}
		if !out.bears(book, rest, a) {
			continue
		}
		out.Offered = append(out.Offered, Offer{*a, conflict.Statement{Code: code, Actor: a.Species,
			Evidence: []conflict.Evidence{{Name: "count", Value: float64(a.Count)}}}})
	}
	return found.Complete, nil
}

// bears judges the rest with an offer in it: it is no worse and no fuller than without, and nothing is to be mended
// about what is offered.
func (out *Offers) bears(book *conflict.Book, rest *stocking.Stock, a *additions.Addition) bool {
	with := *rest
	with.Lines = append(slices.Clone(rest.Lines), stocking.Line{Index: a.Index, Count: a.Count, Incoming: true, Refs: []int{-1}})
	j := stocking.NewAssessment(book, &with)
	if j.Judge() > out.Decision || j.TankDecision > out.TankDecision || stocking.Fullness(j.Findings) > out.fullness {
		return false
	}
	kind := slices.IndexFunc(j.Lines, func(r stocking.Resident) bool { return r.Index == a.Index })
	return kind < 0 || !j.Troubled(kind)
}

// decisions judges a list, and says how full its tank is; nothing stands against an empty one.
func decisions(book *conflict.Book, s *stocking.Stock) (decision, tank stocking.Decision, fullness int) {
	if len(s.Lines)+len(s.Others) == 0 {
		return stocking.Proceed, stocking.Proceed, 0
	}
	j := stocking.NewAssessment(book, s)
	return j.Judge(), j.TankDecision, stocking.Fullness(j.Findings)
}
