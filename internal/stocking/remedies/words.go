package remedies

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// What is said where no remedy brings a list to proceed.
const (
	NoneNeeded    stocking.Code = "remedy.none_needed"
	NoneToProceed stocking.Code = "remedy.none_to_proceed"
	NoneHelps     stocking.Code = "remedy.none_helps"
	NotAllTried   stocking.Code = "remedy.not_all_tried"
	RestProceeds  stocking.Code = "remedy.rest_proceeds"
	RestAdvised   stocking.Code = "remedy.rest_advised"
)

// English are the English sentences of this package, see [conflict.Table].
var English = conflict.Table{
	Sentences: map[conflict.Code]string{
		NoneNeeded:    "Nothing has to be changed.",
		NoneToProceed: "None of the changes tried, alone or together, clears everything: the advice stands.",
		NoneHelps:     "None of the changes tried, alone or together, makes this list work.",
		NotAllTried:   "The list is too long to try every change; none of those tried is enough.",
		RestProceeds:  "Leave out what is not covered here. Then: proceed.",
		RestAdvised:   "Leave out what is not covered here. Then: advise.",
	},
}
