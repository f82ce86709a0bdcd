package units

// MaxHardness is the highest hardness in °dH that is accepted. Sea water has
// between 350 and 400 °dH (from memory).
const MaxHardness = 500.0

var hardnesses = quantity{
	name:    "general hardness",
	example: "for example 10 dH, 178 ppm (mg/L as CaCO3), 18 fH or 3.6 meq",
	spellings: map[string]Unit{
		"dh": GermanDegree, "°dh": GermanDegree, "dgh": GermanDegree, "°dgh": GermanDegree,
		"fh": FrenchDegree, "°fh": FrenchDegree,
		"ppm": PPM, "ppmcaco3": PPM, "mg/l": PPM, "mg/lcaco3": PPM, "mgcaco3/l": PPM,
		"meq": Milliequivalent, "meq/l": Milliequivalent, "mval": Milliequivalent, "mval/l": Milliequivalent,
		"mmol": Millimole, "mmol/l": Millimole,
	},
	misread: map[string]string{
		"dkh":  "dKH states carbonate hardness, not general hardness",
		"°dkh": "dKH states carbonate hardness, not general hardness",
		"kh":   "KH states carbonate hardness, not general hardness",
		"°":    "a degree sign alone does not say German or French degrees",
		"°f":   "°F states a temperature, not a hardness",
	},
	toSI: map[Unit]func(float64) float64{
		GermanDegree:    times(1),
		FrenchDegree:    times(MgCaCO3PerFH / MgCaCO3PerDH),
		PPM:             PPMToDH,
		Milliequivalent: times(MgCaCO3PerMeq / MgCaCO3PerDH),
		Millimole:       times(MgCaCO3PerMmol / MgCaCO3PerDH),
	},
	round:  RoundHardness,
	min:    0,
	max:    MaxHardness,
	limits: "a general hardness from 0 to 500 °dH",
}

// ParseHardness reads a general hardness such as "10dH", "178ppm" (mg/L as CaCO3),
// "18fH" or "3.6meq" and returns it in °dH, rounded to 0.01, from 0 to
// [MaxHardness]. A bare number is read in the implied unit, or is an error when
// that is [None]. Errors are of type [*ParseError].
func ParseHardness(s string, implied Unit) (float64, error) { return hardnesses.parse(s, implied) }
