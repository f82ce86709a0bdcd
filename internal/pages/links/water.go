package links

import (
	"math"
	"strconv"
	"strings"

	"commensal/internal/species"
	"commensal/internal/units"
)

// Reading is a water value that may be known.
type Reading struct {
	Value float64
	Known bool
}

// Water are the readings of a tank: °C, pH, °dH and ppt.
type Water [species.NumParameters]Reading

// parameter is a water parameter as addresses carry it: the name of the query field,
// the marks around its number in a list, and its reader.
type parameter struct {
	field          string
	before, behind string
	read           func(string) (float64, error)
	low, high      float64
}

// parameters are in the order of the model. The bounds are those of the service's
// lookups: wide enough for every fish that is kept, narrow enough to catch slips.
var parameters = [species.NumParameters]parameter{
	species.Temperature: {"temperature_c", "", "C", func(s string) (float64, error) { return units.ParseTemperature(s, units.Celsius) }, 0, 45},
	species.PH:          {"ph", "pH", "", readPH, 3, 11},
	species.Hardness:    {"gh_dh", "", "dH", func(s string) (float64, error) { return units.ParseHardness(s, units.GermanDegree) }, 0, 100},
	species.Salinity:    {"salinity_ppt", "", "ppt", func(s string) (float64, error) { return units.ParseSalinity(s, units.PPT) }, 0, units.MaxSalinity},
}

// WaterField is the name of the form field of a parameter, for example "temperature_c".
func WaterField(p species.Parameter) string { return parameters[p].field }

func readPH(s string) (float64, error) {
	s = strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(s), "pH"))
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, &units.ParseError{Code: units.NotANumber, Input: s, What: "it is not a plain number", Fix: "write a plain decimal, as in 7.2"}
	}
	return math.Round(x*100) / 100, nil
}

// readWater reads one parameter; an empty text is no reading.
func readWater(p species.Parameter, text string) (Reading, *Fault) {
	if text = strings.TrimSpace(text); text == "" {
		return Reading{}, nil
	}
	q := &parameters[p]
	x, err := q.read(text)
	if err == nil && !(x >= q.low && x <= q.high) {
		err = &units.ParseError{Code: units.OutOfRange, Input: text, What: "it is not possible",
			Fix: "write a value from " + number(q.low) + " to " + number(q.high)}
	}
	if err != nil {
		f := faultOf(q.field, text, err)
		return Reading{}, &f
	}
	return Reading{x + 0, true}, nil // +0 makes -0 plain
}

// number writes a number with the digits it has and no exponent.
func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
