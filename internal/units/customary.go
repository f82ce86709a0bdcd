package units

import "math"

// RoomTemperatureC is how warm a lived-in room is, in °C, and so a tank in it without a heater. Common practice, no source.
const RoomTemperatureC = 20.0

// customaryTanks are tanks as they are sold, from which the sides of a tank are taken where only its
// volume is known: common practice, no source.
var customaryTanks = [...]TankSize{
	{60, 30, 30},  // 54 L
	{80, 35, 40},  // 112 L
	{100, 40, 45}, // 180 L
	{120, 40, 50}, // 240 L
	{150, 50, 60}, // 450 L
	{200, 60, 60}, // 720 L
}

// CustomaryTank is the tank of customary proportions with a volume in litres, in whole centimetres.
// Between two customary tanks every side lies between theirs; smaller and larger tanks have the
// proportions of the smallest and the largest.
func CustomaryTank(litres float64) TankSize {
	first, last := customaryTanks[0], customaryTanks[len(customaryTanks)-1]
	switch {
	case litres <= first.Volume():
		return first.scaled(litres)
	case litres >= last.Volume():
		return last.scaled(litres)
	}
	i := 1
	for litres > customaryTanks[i].Volume() {
		i++
	}
	a, b := customaryTanks[i-1], customaryTanks[i]
	share := math.Log(litres/a.Volume()) / math.Log(b.Volume()/a.Volume())
	between := func(x, y float64) float64 { return math.Round(x * math.Pow(y/x, share)) }
	return TankSize{between(a.Length, b.Length), between(a.Width, b.Width), between(a.Height, b.Height)}
}

// scaled is a size with every side longer or shorter alike, so that it holds so many litres.
func (t TankSize) scaled(litres float64) TankSize {
	by := math.Cbrt(litres / t.Volume())
	return TankSize{math.Round(t.Length * by), math.Round(t.Width * by), math.Round(t.Height * by)}
}
