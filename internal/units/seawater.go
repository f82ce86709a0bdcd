package units

import "math"

// MaxSalinity is the upper end, in PSU, of the range in which the density
// polynomial was fitted; it lies above any sea that fish are kept from.
const MaxSalinity = 42.0

// SeawaterDensity is the density in kg/m³ of sea water of the given salinity (PSU,
// 0 to 42) at the given temperature (°C, -2 to 40) and one atmosphere: the EOS-80
// polynomial of Millero & Poisson 1981 as printed in Fofonoff & Millard 1983,
// UNESCO Technical Papers in Marine Science 44.
func SeawaterDensity(salinity, celsius float64) float64 {
	s, t := salinity, celsius
	pure := 999.842594 + t*(6.793952e-2+t*(-9.095290e-3+t*(1.001685e-4+t*(-1.120083e-6+t*6.536332e-9))))
	linear := 8.24493e-1 + t*(-4.0899e-3+t*(7.6438e-5+t*(-8.2467e-7+t*5.3875e-9)))
	threeHalves := -5.72466e-3 + t*(1.0227e-4+t*-1.6546e-6)
	const square = 4.8314e-4
	return pure + s*linear + s*math.Sqrt(s)*threeHalves + s*s*square
}

// specificGravityReference is the temperature in °C of both the water and the
// fresh water it is compared with, as on common aquarium hydrometers.
const specificGravityReference = 25

// SpecificGravity is the specific gravity 25/25 °C of water of the given salinity
// (PSU, 0 to 42).
func SpecificGravity(salinity float64) float64 {
	return SeawaterDensity(salinity, specificGravityReference) / SeawaterDensity(0, specificGravityReference)
}

// SalinityFromSpecificGravity inverts [SpecificGravity] by bisection, to better
// than 1e-9 PSU. It returns NaN for a gravity below that of fresh water or above
// that of water at [MaxSalinity].
func SalinityFromSpecificGravity(sg float64) float64 {
	low, high := 0.0, MaxSalinity
	if !(sg >= SpecificGravity(low) && sg <= SpecificGravity(high)) {
		return math.NaN()
	}
	for high-low > 1e-10 {
		middle := (low + high) / 2
		if SpecificGravity(middle) < sg {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
