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
	length, okL := r.Band(species.TankLength)
	width, okW := r.Band(species.TankWidth)
	short := Shortage(f.Tank.LengthCM, length, okL)
	if short > Note {
		f.add(short, TankTooShort, f.kindLines(first), f.largerTank(r),
			conflict.Evidence{Name: "tank_length", Value: f.Tank.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "needed_length", Value: length.Typical, Unit: "cm"},
			conflict.Evidence{Name: "least_length", Value: length.Low, Unit: "cm"})
	}
	f.footprint(first, length, width, okL && okW, short)
	f.height(first)
}

// footprint reports too small a floor where that says more than the length did.
func (f *finder) footprint(first int, length, width species.Band, known bool, short Severity) {
	floor := f.Tank.LengthCM * f.Tank.WidthCM
	need := species.Band{Low: length.Low * width.Low, Typical: length.Typical * width.Typical}
	if small := Shortage(floor, need, known); small > short {
		f.add(small, FootprintTooSmall, f.kindLines(first), f.largerTank(&f.Lines[first]),
			conflict.Evidence{Name: "footprint", Value: floor, Unit: "cm2"},
			conflict.Evidence{Name: "needed_footprint", Value: need.Typical, Unit: "cm2"},
			conflict.Evidence{Name: "needed_length", Value: length.Typical, Unit: "cm"},
			conflict.Evidence{Name: "needed_width", Value: width.Typical, Unit: "cm"},
			conflict.Evidence{Name: "tank_length", Value: f.Tank.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "tank_width", Value: f.Tank.WidthCM, Unit: "cm"})
	}
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
	case have >= need.Low:
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
