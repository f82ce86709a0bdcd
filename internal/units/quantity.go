package units

import (
	"math"
	"strings"
)

// Unit names a unit in its usual spelling. Each parser takes a default unit for
// bare numbers; [None] makes a bare number an error.
type Unit string

// The units. A parser ignores a default unit that is not of its quantity.
const (
	None Unit = ""

	Millimetre Unit = "mm"
	Centimetre Unit = "cm"
	Metre      Unit = "m"
	Inch       Unit = "in"
	Foot       Unit = "ft"

	Millilitre Unit = "ml"
	Litre      Unit = "l"
	CubicMetre Unit = "m3"
	USGallon   Unit = "gal"
	UKGallon   Unit = "impgal"

	Celsius    Unit = "°c"
	Fahrenheit Unit = "°f"
	Kelvin     Unit = "k"

	GermanDegree    Unit = "°dh"
	FrenchDegree    Unit = "°fh"
	PPM             Unit = "ppm" // mg/L as CaCO3
	Milliequivalent Unit = "meq" // per litre
	Millimole       Unit = "mmol/l"

	PPT     Unit = "ppt" // g/kg
	PSU     Unit = "psu"
	Gravity Unit = "sg" // specific gravity 25/25 °C
)

// quantity is all that distinguishes one parser from another.
type quantity struct {
	name      string
	example   string // completes "write a number and a unit, …"
	spellings map[string]Unit
	toSI      map[Unit]func(float64) float64
	round     func(float64) float64
	min, max  float64 // of the rounded SI value
	limits    string  // the same in words
	// misread explains spellings that look right but mean another quantity.
	misread map[string]string
}

// parse reads one number with its unit and gives the rounded SI value.
func (q *quantity) parse(input string, implied Unit) (float64, error) {
	if err := guard(input); err != nil {
		return 0, err
	}
	x, rest, err := number(input, strings.TrimSpace(input))
	if err != nil {
		return 0, err
	}
	u, err := q.unit(input, rest, implied)
	if err != nil {
		return 0, err
	}
	return q.convert(input, x, u)
}

// unit recognises the text behind the number.
func (q *quantity) unit(input, text string, implied Unit) (Unit, *ParseError) {
	if strings.TrimSpace(text) == "" {
		if _, ok := q.toSI[implied]; ok {
			return implied, nil
		}
		return None, parseError(NoUnit, input, "the "+q.name+" has no unit", q.fix())
	}
	spelling := canonical(text)
	if u, ok := q.spellings[spelling]; ok {
		return u, nil
	}
	if why, ok := q.misread[spelling]; ok {
		return None, parseError(UnknownUnit, input, why, q.fix())
	}
	return None, parseError(UnknownUnit, input, "what follows the number is not a unit of "+q.name, q.fix())
}

// convert brings x to SI, rounds it and checks it against the limits.
func (q *quantity) convert(input string, x float64, u Unit) (float64, error) {
	si := q.round(q.toSI[u](x))
	if math.IsNaN(si) || si < q.min || si > q.max {
		return 0, parseError(OutOfRange, input, "the "+q.name+" is out of range", "give "+q.limits)
	}
	return si, nil
}

func (q *quantity) fix() string { return "write a number and a unit, " + q.example }

// canonical brings a unit to the form the tables use: lower case, no spaces or
// dots, one kind of degree sign.
func canonical(unit string) string {
	return unitReplacer.Replace(strings.ToLower(strings.Join(strings.Fields(unit), "")))
}

var unitReplacer = strings.NewReplacer(
	".", "", "º", "°", "˚", "°", "℃", "°c", "℉", "°f",
	"degrees", "°", "degree", "°", "deg", "°",
	"³", "3", "₃", "3",
	"''", `"`, "″", `"`, "”", `"`, "′", "'", "’", "'",
)

// times gives the conversion of a unit that is a plain multiple of the SI unit.
func times(factor float64) func(float64) float64 {
	return func(x float64) float64 { return x * factor }
}
