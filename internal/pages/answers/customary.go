package answers

import (
	"math"

	"commensal/internal/conflict"
)

// customaryTanks are the inside sides in cm that a tank of so many litres usually has:
// common practice, no source.
var customaryTanks = []struct {
	litres float64
	size   conflict.TankSize
}{
	{54, conflict.TankSize{LengthCM: 60, WidthCM: 30, HeightCM: 30}},
	{112, conflict.TankSize{LengthCM: 80, WidthCM: 35, HeightCM: 40}},
	{180, conflict.TankSize{LengthCM: 100, WidthCM: 40, HeightCM: 45}},
	{240, conflict.TankSize{LengthCM: 120, WidthCM: 40, HeightCM: 50}},
	{450, conflict.TankSize{LengthCM: 150, WidthCM: 50, HeightCM: 60}},
	{720, conflict.TankSize{LengthCM: 200, WidthCM: 60, HeightCM: 60}},
}

// customary is the tank that a bare volume is taken for: the nearest in proportion of
// those customary, scaled to the volume and rounded to whole centimetres.
func customary(litres float64) conflict.TankSize {
	best := customaryTanks[0]
	for _, t := range customaryTanks[1:] {
		if math.Abs(math.Log(litres/t.litres)) < math.Abs(math.Log(litres/best.litres)) {
			best = t
		}
	}
	f := math.Cbrt(litres / (best.size.LengthCM * best.size.WidthCM * best.size.HeightCM / 1000))
	return conflict.TankSize{LengthCM: math.Round(best.size.LengthCM * f), WidthCM: math.Round(best.size.WidthCM * f),
		HeightCM: math.Round(best.size.HeightCM * f)}
}
