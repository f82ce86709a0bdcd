package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/units"
)

// Shaped is a tank whose volume alone is known as one of customary proportions; any other as it
// is.
func (t *Tank) Shaped() *Tank {
	if t == nil || t.HasFootprint() || t.VolumeL <= 0 {
		return t
	}
	out, size := *t, CustomaryShape(t.VolumeL)
	out.LengthCM, out.WidthCM, out.HeightCM, out.ShapeTaken = size.LengthCM, size.WidthCM, size.HeightCM, true
	return &out
}

// CustomaryShape is the tank of customary proportions with a volume in litres.
func CustomaryShape(litres float64) conflict.TankSize {
	size := units.CustomaryTank(litres)
	return conflict.TankSize{LengthCM: size.Length, WidthCM: size.Width, HeightCM: size.Height}
}
