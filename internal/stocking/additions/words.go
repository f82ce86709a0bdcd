package additions

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// What could join, in one sentence.
const (
	BestFits stocking.Code = "additions.best"
	NoneFits stocking.Code = "additions.none"
	NoneLeft stocking.Code = "additions.none_left"
)

// English are the English sentences of this package, see [conflict.Table].
var English = conflict.Table{
	Sentences: map[conflict.Code]string{
		BestFits: "{kinds} fit best of the {number} kinds looked at.",
		NoneFits: "None of the {number} kinds looked at fits.",
		NoneLeft: "No kind is left to look at.",
	},
}

// Summary says what could join.
func (a *Additions) Summary() conflict.Statement {
	s := conflict.Statement{Code: NoneFits, Evidence: []conflict.Evidence{{Name: "number", Value: float64(a.Considered)}}}
	switch {
	case len(a.Fitting) > 0:
		s.Code, s.Actor = BestFits, a.Fitting[0].Species
	case a.Considered == 0:
		s.Code = NoneLeft
	}
	return s
}
