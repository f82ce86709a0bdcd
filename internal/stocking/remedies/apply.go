package remedies

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// Apply makes changes to a list and its tank, so that what they promise can be judged
// again. Lines are those of a check, whose positions the changes name; neither they nor
// the tank are altered. Lines that a change names out of range are passed over.
func Apply(book *conflict.Book, lines []stocking.Line, tank *stocking.Tank, changes ...stocking.Change) ([]stocking.Line, *stocking.Tank) {
	lines = slices.Clone(lines)
	var changed stocking.Tank
	if tank != nil {
		changed = *tank
	}
	gone := make([]bool, len(lines))
	var added []stocking.Line
	for i := range changes {
		c := &changes[i]
		switch {
		case c.Line < 0:
			changeTank(c, &changed)
			tank = &changed
		case c.Line >= len(lines):
		case c.Kind == stocking.LeaveLineOut || c.Kind == stocking.Separate:
			gone[c.Line] = true
		case c.Kind == stocking.RaiseGroup || c.Kind == stocking.AddFemales:
			added = append(added, c.More(book, lines)...)
		default:
			changeLine(c, &lines[c.Line])
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

func changeLine(c *stocking.Change, l *stocking.Line) {
	switch c.Kind {
	case stocking.ReduceGroup:
		l.Count = c.Count
	case stocking.CorrectLength:
		l.LengthCM = c.To
	}
}

func changeTank(c *stocking.Change, t *stocking.Tank) {
	yes, no := true, false
	switch c.Kind {
	case stocking.LargerTank:
		t.LengthCM, t.WidthCM, t.HeightCM, t.ShapeTaken = c.Size.LengthCM, c.Size.WidthCM, c.Size.HeightCM, false
	case stocking.MoreCover:
		t.Cover, t.CoverKnown = c.To, true
	case stocking.MoveReading:
		t.Reading[c.Parameter] = conflict.Reading{Value: c.To, Known: true}
	case stocking.CloseLid:
		t.Lid = &yes
	case stocking.LaySand:
		t.Substrate = "sand"
	case stocking.MatureFilter:
		t.FilterMature = &yes
	case stocking.MoveTurnover:
		t.TurnoverPerHour = c.To
	case stocking.ChangeWater:
		t.WeeklyChange = &c.To
	case stocking.RemovePlants:
		t.Planted = &no
	}
}
