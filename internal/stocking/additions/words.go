package additions

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// What could join, in one sentence.
const (
	BestFits stocking.Code = "additions.best"
	NoneFits stocking.Code = "additions.none"
	NoneLeft stocking.Code = "additions.none_left"
	WhyFits  stocking.Code = "additions.why"
	WhyAlike stocking.Code = "additions.why_alike"
)

// English are the English sentences of this package, see [conflict.Table].
var English = conflict.Table{
	Sentences: map[conflict.Code]string{
		BestFits: "{kinds} fit best of the {number} kinds looked at.",
		NoneFits: "None of the {number} kinds looked at fits.",
		NoneLeft: "No kind is left to look at.",
		WhyFits:  "{kinds} {words}.",
		WhyAlike: "Much like {others}: {kinds} {words}.",
	},
	Words: map[conflict.WordCode]string{
		whyCompany: "get on with everyone here", whyLikesWater: "like this water", whyBearsWater: "do well in this water",
		whyLargeEnough: "have room in this tank", whyUsual: "are sold in every shop",
		whyEmpty[species.Surface]: "keep to the surface, where nobody swims yet", whyRoom[species.Surface]: "keep to the surface, where there is room",
		whyEmpty[species.Middle]: "swim in the middle, where nobody swims yet", whyRoom[species.Middle]: "swim in the middle, where there is room",
		whyEmpty[species.Bottom]: "keep to the bottom, where nobody lives yet", whyRoom[species.Bottom]: "keep to the bottom, where there is room",
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
