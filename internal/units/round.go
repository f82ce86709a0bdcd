package units

import "math"

// RoundLength rounds a length in cm to 0.1 mm.
func RoundLength(cm float64) float64 { return roundTo(cm, 100) }

// RoundVolume rounds a volume in L to 1 mL.
func RoundVolume(litres float64) float64 { return roundTo(litres, 1000) }

// RoundTemperature rounds a temperature to 0.01 °C.
func RoundTemperature(celsius float64) float64 { return roundTo(celsius, 100) }

// RoundHardness rounds a hardness to 0.01 °dH.
func RoundHardness(dh float64) float64 { return roundTo(dh, 100) }

// RoundSalinity rounds a salinity to 0.01 ppt.
func RoundSalinity(ppt float64) float64 { return roundTo(ppt, 100) }

// roundTo rounds x to a whole number of steps (perUnit steps to the unit), halves
// away from zero. A conversion can land a hair below a half that the other unit
// hits exactly (12.25 in is 31.115 cm), so x is first brought to a ten-thousandth
// of a step: both spellings then round the same way.
func roundTo(x, perUnit float64) float64 {
	const fine = 1e4
	steps := math.Round(x*perUnit*fine) / fine
	return math.Round(steps) / perUnit
}
