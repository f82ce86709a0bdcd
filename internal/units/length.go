package units

// MaxLength is the longest length in cm that is accepted: one kilometre, far
// beyond any tank, so that only slips exceed it.
const MaxLength = 100_000.0

var lengths = quantity{
	name:    "length",
	example: "for example 120 cm, 48 in, 4 ft, 1.2 m or 35 mm",
	spellings: map[string]Unit{
		"mm": Millimetre, "millimetre": Millimetre, "millimetres": Millimetre, "millimeter": Millimetre, "millimeters": Millimetre,
		"cm": Centimetre, "centimetre": Centimetre, "centimetres": Centimetre, "centimeter": Centimetre, "centimeters": Centimetre,
		"m": Metre, "metre": Metre, "metres": Metre, "meter": Metre, "meters": Metre,
		"in": Inch, "inch": Inch, "inches": Inch, `"`: Inch,
		"ft": Foot, "foot": Foot, "feet": Foot, "'": Foot,
	},
	toSI: map[Unit]func(float64) float64{
		Millimetre: times(0.1), Centimetre: times(1), Metre: times(100),
		Inch: times(CMPerInch), Foot: times(CMPerFoot),
	},
	round:  RoundLength,
	min:    0.01,
	max:    MaxLength,
	limits: "a length of at least 0.1 mm and at most 1 km",
}

// ParseLength reads a length such as "48in", "120 cm", "1.2m", "35mm", `48"` or
// "4ft" and returns it in cm, rounded to 0.1 mm, more than 0 and at most
// [MaxLength]. A bare number is read in the implied unit, or is an error when that
// is [None]. Errors are of type [*ParseError].
func ParseLength(s string, implied Unit) (float64, error) { return lengths.parse(s, implied) }
