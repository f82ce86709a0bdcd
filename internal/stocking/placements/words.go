package placements

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// How far the tanks of a placement go.
const (
	PlacedAllBest stocking.Code = "split.placed_all_best"
	PlacedAll     stocking.Code = "split.placed_all"
	PlacedMost    stocking.Code = "split.placed_most"
	PlacedSome    stocking.Code = "split.placed_some"
	PlacedNone    stocking.Code = "split.placed_none"
)

// English are the English sentences of this package, see [conflict.Table].
var English = conflict.Table{
	Sentences: map[conflict.Code]string{
		PlacedAllBest: "Everyone finds a tank, and no other way does less harm.",
		PlacedAll:     "Everyone finds a tank; a way with less harm is not ruled out.",
		PlacedMost:    "A tank for {placed} of the {lines} lines; no other way places more.",
		PlacedSome:    "A tank for {placed} of the {lines} lines; a way that places more is not ruled out.",
		PlacedNone:    "Nobody finds a tank among these.",
	},
}
