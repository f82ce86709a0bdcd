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

		WishNotWanted: "The keeper does not want {kinds}.",
		WishAtMost:    "The keeper takes {most} fish at most, and this makes {number}.",
		WishAtMostOf:  "The keeper takes {most} {kinds} at most, and this makes {number}.",

		WhyOnly:     "The only tank here that can take it.",
		WhyBest:     "Of the {fitting} tanks that can take it, none does it less harm.",
		WhyWanted:   "The keeper would like it, and of the {fitting} tanks that can take it none does it less harm.",
		WhyWhole:    "By itself it would be better off in {tank}; together with the others it is placed here.",
		WhyNowhere:  "None of the tanks can take it; {tank} comes nearest: {reason}",
		WhyUntried:  "Not every tank was tried with it: the request is too much work for one answer.",
		WhyTaken:    "{fitting} of the tanks could take it, but each takes one line and has another.",
		WhyBeside:   "By itself it could go to {tank}, but not beside what is placed there: {reason}",
		WhyNotFound: "It may fit into {tank}, but the search ended before that was settled.",

		HarmNone:     "No harm found.",
		HarmTotal:    "Harm {harm} in all.",
		HarmPairings: "{harm} from the conflict scores of their pairings, each 0 to 100.",
		HarmAdvice:   "{harm} from advice about their tanks, 10 for each piece.",
		HarmWishes:   "{harm} for lines that another keeper asks for, 5 each.",
	},
}
