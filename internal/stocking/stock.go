package stocking

import (
	"commensal/internal/budget"
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// MaxLines is the greatest number of lines in one request, residents and incoming
// together.
const MaxLines = 200

// Line is one line of stock: so many fish of one species, alike in what is known.
type Line struct {
	Index    int // position of the species in the book's snapshot
	Count    int // number of fish; 0 for the customary group
	Sex      species.Sex
	LengthCM float64 // present total length in cm; 0 when not given
	AgeMonth float64 // age in months; 0 when not given
	// Observed is the keeper's experience of these very fish over MonthsObserved.
	Observed       conflict.Disposition
	MonthsObserved float64

	Incoming bool    // about to join, not a resident yet
	Keep     bool    // never to be left out
	Weight   float64 // cost of leaving it out; 0 counts as 1
	Refs     []int   // positions in the caller's list, residents first, then incoming
}

// Stock is a list of lines, in a tank where one is known.
type Stock struct {
	Lines []Line
	Tank  *Tank
	// Wanted is the highest level that a pairing may have; Low is stricter.
	Wanted conflict.Level
	// Budget is how much work the list may take, and through it whoever waits can end the
	// work; nil is any. What decides is always judged; what only helps, such as what to
	// leave out, is as good as the budget allows, and says so.
	Budget *budget.Budget
}

// What work costs, in units of a [budget.Budget]. One unit is a pairing scored without
// words.
const (
	UnitBrief    = 2  // a pairing with its band, reason and summary
	UnitsFinding = 10 // all that is found of one line
	UnitsJudging = 60 // all that is found of a list, whatever its length
)

// Decision is the answer at the till.
type Decision uint8

// The decisions, from go to stop.
const (
	Proceed Decision = iota // nothing speaks against it
	Advise                  // possible with the advice listed
	Hold                    // staff must look before a sale
)

// String is the decision's word in the API.
func (d Decision) String() string { return [...]string{"proceed", "advise", "hold"}[d] }

// ExitStatus is the exit status of the command line for the decision.
func (d Decision) ExitStatus() int { return [...]int{0, 3, 4}[d] }

// Severity orders findings.
type Severity uint8

// The severities. A note never changes the decision; advice makes it Advise; a stop
// makes it Hold.
const (
	Note Severity = iota
	Advice
	Stop
)

// String is the severity's word in the API.
func (s Severity) String() string { return [...]string{"note", "advice", "stop"}[s] }
