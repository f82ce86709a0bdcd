package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// tankSize compares the tank with what adults of a species need, whatever the length
// of the fish today: they are judged for life. Below the low end of the customary
// minimum is a stop, below its typical value advice; a tank that is exactly as large
// is large enough. Without dimensions nothing is said (see [FootprintUnknown]).
func (f *finder) tankSize(first int) {
	if !f.HasFootprint() {
		return
	}
	r := &f.Lines[first]
	length, width := f.roomOf(r)
	short, small := f.RoomFor(first)
	if short > Note {
		f.add(short, TankTooShort, f.kindLines(first), f.largerTank(r),
			conflict.Evidence{Name: "tank_length", Value: f.Tank.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "needed_length", Value: length.Typical, Unit: "cm"},
			conflict.Evidence{Name: "least_length", Value: length.Low, Unit: "cm"})
	}
	if small > Note {
		f.footprint(small, first, length, width)
	}
	f.height(first)
}

// RoomFor is how grave it is that the tank, whose footprint is known, is too short for a line, and
// that its floor is too small where that says more than the length does: Note where it is not.
func (j *Assessment) RoomFor(i int) (short, small Severity) {
	r := &j.Lines[i]
	length, width := j.roomOf(r)
	floor := species.Band{Low: length.Low * width.Low, Typical: length.Typical * width.Typical}
	short = Shortage(j.Tank.LengthCM*j.slack(), length, length.Typical > 0)
	small = Shortage(j.Tank.LengthCM*j.Tank.WidthCM*j.slack(), floor, floor.Typical > 0)
	if small <= short {
		small = Note
	}
	return short, small
}

// roomOf is the length and width that adults need, zero where not on record.
func (j *Assessment) roomOf(r *Resident) (length, width species.Band) {
	length, _ = r.Band(species.TankLength)
	width, _ = r.Band(species.TankWidth)
	return length, width
}

// slack is how much larger a tank may be than it is taken to be, where its sides are not known.
func (j *Assessment) slack() float64 {
	if j.Tank.ShapeTaken {
		return shapeSlack
	}
	return 1
}

const (
	// shapeSlack is how far tanks of one volume differ in length and floor: common practice, no source.
	shapeSlack = 1.15
	// justUnder is the share of the least customary minimum down to which a tank is a poor one and not
	// yet a wrong one: minimums are round figures.
	justUnder = 0.9
)

// footprint reports too small a floor.
func (f *finder) footprint(small Severity, first int, length, width species.Band) {
	f.add(small, FootprintTooSmall, f.kindLines(first), f.largerTank(&f.Lines[first]),
		conflict.Evidence{Name: "footprint", Value: f.Tank.LengthCM * f.Tank.WidthCM, Unit: "cm2"},
		conflict.Evidence{Name: "needed_footprint", Value: length.Typical * width.Typical, Unit: "cm2"},
		conflict.Evidence{Name: "needed_length", Value: length.Typical, Unit: "cm"},
		conflict.Evidence{Name: "needed_width", Value: width.Typical, Unit: "cm"},
		conflict.Evidence{Name: "tank_length", Value: f.Tank.LengthCM, Unit: "cm"},
		conflict.Evidence{Name: "tank_width", Value: f.Tank.WidthCM, Unit: "cm"})
}

// height is only on record where it matters more than usual; a low tank is never a stop.
func (f *finder) height(first int) {
	need, ok := f.Lines[first].Band(species.TankHeight)
	if f.Tank.HeightCM <= 0 || !ok || f.Tank.HeightCM >= need.Typical {
		return
	}
	severity := Note
	if f.Tank.HeightCM < need.Low {
		severity = Advice
	}
	f.add(severity, TankTooLow, f.kindLines(first), f.largerTank(&f.Lines[first]),
		conflict.Evidence{Name: "tank_height", Value: f.Tank.HeightCM, Unit: "cm"},
		conflict.Evidence{Name: "needed_height", Value: need.Typical, Unit: "cm"},
		conflict.Evidence{Name: "least_height", Value: need.Low, Unit: "cm"})
}

// Shortage is how grave it is that there is less than is needed: Note for enough.
func Shortage(have float64, need species.Band, known bool) Severity {
	switch {
	case !known || have >= need.Typical:
		return Note
	case have >= need.Low*justUnder:
		return Advice
	}
	return Stop
}

// largerTank is the smallest standard tank that meets a line's customary minimum and is
// no smaller than the present one any way; nil where none is sold.
func (f *finder) largerTank(r *Resident) *Change {
	length, width := r.typical(species.TankLength, 0), r.typical(species.TankWidth, 0)
	return f.ToStandardTank(max(length, f.Tank.LengthCM), max(length*width, f.Tank.LengthCM*f.Tank.WidthCM),
		max(r.typical(species.TankHeight, 0), f.Tank.HeightCM))
}
