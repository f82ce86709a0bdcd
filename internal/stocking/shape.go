package stocking

import "commensal/internal/units"

// Shaped is a tank whose volume alone is known as one of customary proportions; any other as it
// is.
func (t *Tank) Shaped() *Tank {
	if t == nil || t.HasFootprint() || t.VolumeL <= 0 {
		return t
	}
	out := *t
	size := units.CustomaryTank(t.VolumeL)
	out.LengthCM, out.WidthCM, out.HeightCM, out.ShapeTaken = size.Length, size.Width, size.Height, true
	return &out
}
