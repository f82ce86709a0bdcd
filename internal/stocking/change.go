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

// NewChange makes a remedy; line is -1 for a change to the tank.
func (j *Assessment) NewChange(kind ChangeKind, line int, ev ...conflict.Evidence) *Change {
	c := &Change{Kind: kind, Line: line, Statement: conflict.Statement{Code: Code("change." + string(kind)), Evidence: ev}}
	if line >= 0 {
		c.Statement.Actor = j.Lines[line].Species
	}
	return c
}

// ReadingInto is the least move of a reading into a range.
func (j *Assessment) ReadingInto(p species.Parameter, from float64, into species.Range) *Change {
	to := min(max(from, into.Low), into.High)
	unit := parameterUnit[p]
	c := j.NewChange(MoveReading, -1,
		conflict.Evidence{Name: "from", Value: from, Unit: unit}, conflict.Evidence{Name: "to", Value: to, Unit: unit})
	c.Parameter, c.From, c.To = p, from, to
	c.Statement.Words = []conflict.WordCode{ParameterWord[p]}
	return c
}

// ToStandardTank is a change to the smallest standard tank of at least this length, floor and
// height.
func (j *Assessment) ToStandardTank(length, floor, height float64) *Change {
	for i := range conflict.StandardTanks {
		size := conflict.StandardTanks[i]
		if size.LengthCM < length || size.FootprintCM2() < floor || size.HeightCM < height {
			continue
		}
		c := j.NewChange(LargerTank, -1,
			conflict.Evidence{Name: "length", Value: size.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "width", Value: size.WidthCM, Unit: "cm"},
			conflict.Evidence{Name: "height", Value: size.HeightCM, Unit: "cm"})
		c.Size = &size
		return c
	}
	return nil
}

func (j *Assessment) moveTurnover(to float64) *Change {
	c := j.NewChange(MoveTurnover, -1,
		conflict.Evidence{Name: "from", Value: j.Tank.TurnoverPerHour, Unit: "per_hour"},
		conflict.Evidence{Name: "to", Value: to, Unit: "per_hour"})
	c.From, c.To = j.Tank.TurnoverPerHour, to
	return c
}
