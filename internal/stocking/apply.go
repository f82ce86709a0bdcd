package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Apply makes changes to a list and its tank, so that what they promise can be judged
// again. Lines are those of a check, whose positions the changes name; neither they nor
// the tank are altered. Lines that a change names out of range are passed over.
func Apply(book *conflict.Book, lines []Line, tank *Tank, changes ...Change) ([]Line, *Tank) {
	lines = slices.Clone(lines)
	var changed Tank
	if tank != nil {
		changed = *tank
	}
	gone := make([]bool, len(lines))
	var added []Line
	for i := range changes {
		c := &changes[i]
		switch {
		case c.Line < 0:
			c.toTank(&changed)
			tank = &changed
		case c.Line >= len(lines):
		case c.Kind == LeaveLineOut || c.Kind == Separate:
			gone[c.Line] = true
		case c.Kind == AddFemales && lines[c.Line].Sex != species.Female:
			added = append(added, Line{Index: lines[c.Line].Index, Count: c.Count, Sex: species.Female, Incoming: true})
		default:
			c.toLine(book, &lines[c.Line])
		}
	}
	kept := lines[:0]
	for i, l := range lines {
		if !gone[i] {
			kept = append(kept, l)
		}
	}
	return append(kept, added...), tank
}

func (c *Change) toLine(book *conflict.Book, l *Line) {
	switch c.Kind {
	case RaiseGroup, ReduceGroup:
		l.Count = c.Count
	case AddFemales:
		l.Count = heads(book.Snapshot.At(l.Index), l) + c.Count
	case CorrectLength:
		l.LengthCM = c.To
	}
}

func (c *Change) toTank(t *Tank) {
	yes, no := true, false
	switch c.Kind {
	case LargerTank:
		t.LengthCM, t.WidthCM, t.HeightCM = c.Size.LengthCM, c.Size.WidthCM, c.Size.HeightCM
	case MoreCover:
		t.Cover, t.CoverKnown = c.To, true
	case MoveReading:
		t.Reading[c.Parameter] = conflict.Reading{Value: c.To, Known: true}
	case CloseLid:
		t.Lid = &yes
	case LaySand:
		t.Substrate = "sand"
	case MatureFilter:
		t.FilterMature = &yes
	case MoveTurnover:
		t.TurnoverPerHour = c.To
	case ChangeWater:
		t.WeeklyChange = &c.To
	case RemovePlants:
		t.Planted = &no
	}
}
