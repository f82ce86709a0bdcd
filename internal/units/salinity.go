package units

var salinities = quantity{
	name:    "salinity",
	example: "for example 5 ppt, 35 psu or 1.025 sg",
	spellings: map[string]Unit{
		"ppt": PPT, "‰": PPT, "g/kg": PPT, "psu": PSU, "sg": Gravity,
	},
	misread: map[string]string{
		"%":   "a percentage is not accepted",
		"g/l": "grams per litre depend on the density",
		"ppm": "ppm states hardness here, not salinity",
	},
	toSI: map[Unit]func(float64) float64{
		PPT: times(1), PSU: times(1), Gravity: SalinityFromSpecificGravity,
	},
	round:  RoundSalinity,
	min:    0,
	max:    MaxSalinity,
	limits: "a salinity from 0 to 42 ppt, or a specific gravity (25/25 °C) from 1.000 to 1.031",
}

// ParseSalinity reads a salinity such as "5ppt", "35 psu" or "1.010sg" (specific
// gravity 25/25 °C) and returns it in ppt, rounded to 0.01, from 0 to
// [MaxSalinity]. Practical salinity (PSU) and ppt are taken as the same number;
// they differ by half a percent. A bare number is read in the implied unit, or is
// an error when that is [None]. Errors are of type [*ParseError].
func ParseSalinity(s string, implied Unit) (float64, error) { return salinities.parse(s, implied) }
