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
	if !f.hasFootprint() {
		return
	}
	r := &f.lines[first]
	length, okL := r.band(species.TankLength)
	width, okW := r.band(species.TankWidth)
	short := shortage(f.tank.LengthCM, length, okL)
	if short > Note {
		f.add(short, TankTooShort, f.kindLines(first), f.largerTank(r),
			conflict.Evidence{Name: "tank_length", Value: f.tank.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "needed_length", Value: length.Typical, Unit: "cm"},
			conflict.Evidence{Name: "least_length", Value: length.Low, Unit: "cm"})
	}
	f.footprint(first, length, width, okL && okW, short)
	f.height(first)
}

// footprint reports too small a floor where that says more than the length did.
func (f *finder) footprint(first int, length, width species.Band, known bool, short Severity) {
	floor := f.tank.LengthCM * f.tank.WidthCM
	need := species.Band{Low: length.Low * width.Low, Typical: length.Typical * width.Typical}
	if small := shortage(floor, need, known); small > short {
		f.add(small, FootprintTooSmall, f.kindLines(first), f.largerTank(&f.lines[first]),
			conflict.Evidence{Name: "footprint", Value: floor, Unit: "cm2"},
			conflict.Evidence{Name: "needed_footprint", Value: need.Typical, Unit: "cm2"},
			conflict.Evidence{Name: "needed_length", Value: length.Typical, Unit: "cm"},
			conflict.Evidence{Name: "needed_width", Value: width.Typical, Unit: "cm"},
			conflict.Evidence{Name: "tank_length", Value: f.tank.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "tank_width", Value: f.tank.WidthCM, Unit: "cm"})
	}
}

// height is only on record where it matters more than usual; a low tank is never a stop.
func (f *finder) height(first int) {
	need, ok := f.lines[first].band(species.TankHeight)
	if f.tank.HeightCM <= 0 || !ok || f.tank.HeightCM >= need.Typical {
		return
	}
	severity := Note
	if f.tank.HeightCM < need.Low {
		severity = Advice
	}
	f.add(severity, TankTooLow, f.kindLines(first), f.largerTank(&f.lines[first]),
		conflict.Evidence{Name: "tank_height", Value: f.tank.HeightCM, Unit: "cm"},
		conflict.Evidence{Name: "needed_height", Value: need.Typical, Unit: "cm"},
		conflict.Evidence{Name: "least_height", Value: need.Low, Unit: "cm"})
}

// shortage is how grave it is that there is less than is needed: Note for enough.
func shortage(have float64, need species.Band, known bool) Severity {
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
func (f *finder) largerTank(r *resident) *Change {
	length, width := r.typical(species.TankLength, 0), r.typical(species.TankWidth, 0)
	return f.tankOf(max(length, f.tank.LengthCM), max(length*width, f.tank.LengthCM*f.tank.WidthCM),
		max(r.typical(species.TankHeight, 0), f.tank.HeightCM))
}

// tankOf is a change to the smallest standard tank of at least this length, floor and
// height.
func (f *finder) tankOf(length, floor, height float64) *Change {
	for i := range conflict.StandardTanks {
		size := conflict.StandardTanks[i]
		if size.LengthCM < length || size.FootprintCM2() < floor || size.HeightCM < height {
			continue
		}
		c := f.change(LargerTank, -1,
			conflict.Evidence{Name: "length", Value: size.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "width", Value: size.WidthCM, Unit: "cm"},
			conflict.Evidence{Name: "height", Value: size.HeightCM, Unit: "cm"})
		c.Size = &size
		return c
	}
	return nil
}
