package stocking

import (
	"math"

	"commensal/internal/conflict"
)

// customaryShapes are tanks as they are sold, from which the sides of a tank are taken where only its
// volume is known: common practice, no source.
var customaryShapes = [...]conflict.TankSize{
	{LengthCM: 60, WidthCM: 30, HeightCM: 30},  // 54 L
	{LengthCM: 80, WidthCM: 35, HeightCM: 40},  // 112 L
	{LengthCM: 100, WidthCM: 40, HeightCM: 45}, // 180 L
	{LengthCM: 120, WidthCM: 40, HeightCM: 50}, // 240 L
	{LengthCM: 150, WidthCM: 50, HeightCM: 60}, // 450 L
	{LengthCM: 200, WidthCM: 60, HeightCM: 60}, // 720 L
}

// Shaped is a tank whose volume alone is known as one of customary proportions; any other as it
// is. Between two customary tanks every side lies between theirs; smaller and larger tanks have
// the proportions of the smallest and the largest.
func (t *Tank) Shaped() *Tank {
	if t == nil || t.HasFootprint() || t.VolumeL <= 0 {
		return t
	}
	out := *t
	size := CustomaryShape(t.VolumeL)
	out.LengthCM, out.WidthCM, out.HeightCM, out.ShapeTaken = size.LengthCM, size.WidthCM, size.HeightCM, true
	return &out
}

// CustomaryShape is the tank of customary proportions with a volume in litres, in whole centimetres.
func CustomaryShape(litres float64) conflict.TankSize {
	first, last := customaryShapes[0], customaryShapes[len(customaryShapes)-1]
	switch {
	case litres <= litresOf(first):
		return scaled(first, litres)
	case litres >= litresOf(last):
		return scaled(last, litres)
	}
	i := 1
	for litres > litresOf(customaryShapes[i]) {
		i++
	}
	a, b := customaryShapes[i-1], customaryShapes[i]
	share := math.Log(litres/litresOf(a)) / math.Log(litresOf(b)/litresOf(a))
	between := func(x, y float64) float64 { return x * math.Pow(y/x, share) }
	return whole(conflict.TankSize{LengthCM: between(a.LengthCM, b.LengthCM),
		WidthCM: between(a.WidthCM, b.WidthCM), HeightCM: between(a.HeightCM, b.HeightCM)})
}

func litresOf(s conflict.TankSize) float64 { return s.FootprintCM2() * s.HeightCM / 1000 }

// scaled is a size with every side longer or shorter alike, so that it holds so many litres.
func scaled(s conflict.TankSize, litres float64) conflict.TankSize {
	by := math.Cbrt(litres / litresOf(s))
	return whole(conflict.TankSize{LengthCM: s.LengthCM * by, WidthCM: s.WidthCM * by, HeightCM: s.HeightCM * by})
}

func whole(s conflict.TankSize) conflict.TankSize {
	return conflict.TankSize{LengthCM: math.Round(s.LengthCM), WidthCM: math.Round(s.WidthCM), HeightCM: math.Round(s.HeightCM)}
}
