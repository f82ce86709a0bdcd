package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// ChangeKind is a kind of change to a list or a tank.
type ChangeKind string

// The kinds of change.
const (
	RaiseGroup    ChangeKind = "raise_group"    // Line, Count: the new number of fish
	AddFemales    ChangeKind = "add_females"    // Line (the males), Count: females to add
	ReduceGroup   ChangeKind = "reduce_group"   // Line, Count: the new number of fish
	LeaveLineOut  ChangeKind = "leave_out"      // Line
	Separate      ChangeKind = "separate"       // Line, into a tank of its own
	LargerTank    ChangeKind = "larger_tank"    // Size
	MoreCover     ChangeKind = "more_cover"     // To
	MoveReading   ChangeKind = "move_reading"   // Parameter, From, To
	CloseLid      ChangeKind = "close_lid"      // nothing else
	LaySand       ChangeKind = "lay_sand"       // nothing else
	MatureFilter  ChangeKind = "mature_filter"  // nothing else
	MoveTurnover  ChangeKind = "move_turnover"  // From, To, volumes per hour
	ChangeWater   ChangeKind = "change_water"   // From, To, share per week
	RemovePlants  ChangeKind = "remove_plants"  // nothing else
	CorrectLength ChangeKind = "correct_length" // Line, To in cm: the longest on record
)

// Change is one change to a list or its tank. [Apply] makes it.
type Change struct {
	Kind      ChangeKind
	Line      int // position in Check.Lines, or -1 for the tank
	Count     int
	Size      *conflict.TankSize
	Parameter species.Parameter
	From, To  float64
	Statement conflict.Statement
}
