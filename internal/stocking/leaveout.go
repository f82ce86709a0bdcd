package stocking

import "commensal/internal/conflict"

// MaxLeaveOuts is the greatest number of equally good leave-out sets that are listed.
const MaxLeaveOuts = 5

// LeaveOut is the least costly set of lines to leave out so that no pairing is above
// the wanted level and no stop that leaving out can clear remains.
type LeaveOut struct {
	// Sets are the best sets, each in order of line, at most [MaxLeaveOuts]. It is empty
	// when nothing need be left out, or when nothing that may be left out would help.
	Sets     []LeaveOutSet
	Cost     float64 // of each set: the sum of the weights, 1 a line where none is given
	Bound    float64 // no set can cost less; equal to Cost when Optimal
	Optimal  bool    // Cost is proved to be the least
	Complete bool    // Sets lists every best set
	Nodes    int64   // search nodes used
	// Pinned are conflicts among lines that must stay. No set clears them; the sets
	// clear everything else.
	Pinned []PinnedConflict
}

// LeaveOutSet is one set of lines to leave out.
type LeaveOutSet struct{ Lines []LeftOut }

// LeftOut is one line left out and the chief reason: the worst it would do or suffer
// among those that stay.
type LeftOut struct {
	Line   int
	With   int // the line that stays and clashes with it; itself for its own kind; -1 for the tank
	Reason conflict.Statement
}

// PinnedConflict is a conflict between two lines that must stay, or of one with the
// tank or with its own kind (First = Second).
type PinnedConflict struct {
	First, Second int
	Reason        conflict.Statement
}
