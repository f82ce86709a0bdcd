package groupings

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// How far the tanks of a split go: as many as it takes, or the given ones.
const (
	SplitOne      stocking.Code = "split.one"
	SplitFewest   stocking.Code = "split.fewest"
	SplitUnproved stocking.Code = "split.unproved"
	SplitNotAll   stocking.Code = "split.not_all"
	SplitNothing  stocking.Code = "split.nothing"
	GivenAll      stocking.Code = "split.given_all"
	GivenMost     stocking.Code = "split.given_most"
	GivenUnproved stocking.Code = "split.given_unproved"
	GivenNothing  stocking.Code = "split.given_nothing"
)

// English are the English sentences of this package, see [conflict.Table].
var English = conflict.Table{
	Sentences: map[conflict.Code]string{
		SplitOne:      "One tank holds them all.",
		SplitFewest:   "{tanks} tanks hold them all, and fewer cannot.",
		SplitUnproved: "{tanks} tanks hold them all; at least {least} are needed.",
		SplitNotAll:   "Tanks needed: {tanks}, for {placed} of the {lines} lines; the others cannot be kept as they are given.",
		SplitNothing:  "Nothing on this list can be kept as it is given.",
		GivenAll:      "Everything finds a place in the tanks given.",
		GivenMost:     "A place for {placed} of the {lines} lines in the tanks given; no other split does better.",
		GivenUnproved: "A place for {placed} of the {lines} lines in the tanks given; a better split is not ruled out.",
		GivenNothing:  "Nothing finds a place in the tanks given.",
	},
}
