package api

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/internal/units"
)

// The ranges that a request may state, wide enough for every fish that is kept and
// narrow enough to catch slips: common practice, no source.
const (
	minSide        = 5.0    // cm, of a tank
	maxSide        = 1000.0 // cm
	maxTemperature = 45.0   // °C, from 0
	minPH, maxPH   = 3.0, 11.0
	maxHardness    = 100.0 // °dH, from 0
	maxFish        = 500.0 // cm
)

// quantity is a kind of query parameter that carries a number with a unit.
type quantity struct {
	parse     func(string) (float64, error)
	low, high float64
	unit      string // for people
}

var (
	temperature = quantity{func(s string) (float64, error) { return units.ParseTemperature(s, units.Celsius) }, 0, maxTemperature, " °C"}
	acidity     = quantity{parsePH, minPH, maxPH, ""}
	hardness    = quantity{func(s string) (float64, error) { return units.ParseHardness(s, units.GermanDegree) }, 0, maxHardness, " °dH"}
	salinity    = quantity{func(s string) (float64, error) { return units.ParseSalinity(s, units.PPT) }, 0, units.MaxSalinity, " ppt"}
	fishLength  = quantity{func(s string) (float64, error) { return units.ParseLength(s, units.Centimetre) }, 0, maxFish, " cm"}
)

// read reads an optional parameter; what is wrong with it goes to found.
func (q quantity) read(name string, text *string, found *faults) (value float64, given bool) {
	if text == nil {
		return 0, false
	}
	return q.readAt(inQuery(name), *text, found)
}

// spot is where in a request a value stands, and what it is called there.
type spot struct {
	in            gen.FieldErrorIn
	pointer, name string
}

// inQuery is the spot of a query parameter.
func inQuery(name string) spot { return spot{gen.Query, "/query/" + pointerToken(name), name} }

func (s spot) field(detail, fix string) gen.FieldError { return atField(s.in, s.pointer, detail, fix) }

// readAt reads a quantity that is present.
func (q quantity) readAt(at spot, text string, found *faults) (value float64, ok bool) {
	x, err := q.parse(text)
	if err == nil && (x < q.low || x > q.high) {
		err = &units.ParseError{Code: units.OutOfRange, Input: printable(text), What: "it is not possible"}
	}
	if err != nil {
		q.refuse(at, text, err, found)
		return 0, false
	}
	return x, true
}

func (q quantity) refuse(at spot, text string, err error, found *faults) {
	var p *units.ParseError
	if !errors.As(err, &p) {
		p = &units.ParseError{Input: printable(text), What: "it cannot be read"}
	}
	detail := at.name + ": " + strconv.Quote(p.Input) + ": " + p.What + "."
	if p.Code == units.OutOfRange || negative(text, p.Code, func(s string) error { _, err := q.parse(s); return err }) {
		found.impossible = append(found.impossible, at.field(detail, "write a value from "+plain(q.low)+" to "+plain(q.high)+q.unit))
		return
	}
	found.unreadable = append(found.unreadable, at.field(detail, p.Fix))
}

// negative reports whether a refused sign is the minus of a quantity that could be
// read without it: such a value can be read and is not possible.
func negative(text string, code units.Code, parse func(string) error) bool {
	if code != units.Signed || !strings.ContainsAny(text, "-−–") {
		return false
	}
	var p *units.ParseError
	err := parse(strings.NewReplacer("-", "", "−", "", "–", "").Replace(text))
	return err == nil || errors.As(err, &p) && p.Code == units.OutOfRange
}

// parsePH reads a pH: a plain decimal without a unit, rounded to 0.01.
func parsePH(s string) (float64, error) {
	x, ok := plainNumber(strings.TrimSpace(s))
	switch {
	case !ok:
		return 0, &units.ParseError{Code: units.NotANumber, Input: printable(s), What: "it is not a plain number", Fix: "write a plain decimal without a unit, as in 7.2"}
	case math.Abs(x) > 100:
		return 0, &units.ParseError{Code: units.OutOfRange, Input: printable(s), What: "it is not possible"}
	}
	return math.Round(x*100) / 100, nil
}

// readTank reads the tank's dimensions.
func readTank(text *string, found *faults) (size units.TankSize, given bool) {
	if text == nil {
		return units.TankSize{}, false
	}
	return readTankAt(inQuery("tank"), *text, found)
}

// readTankAt reads dimensions that are present.
func readTankAt(at spot, text string, found *faults) (size units.TankSize, ok bool) {
	size, err := units.ParseTank(text, units.None)
	var p *units.ParseError
	if errors.As(err, &p) {
		detail := at.name + ": " + strconv.Quote(p.Input) + ": " + p.What + "."
		if p.Code == units.OutOfRange || negative(text, p.Code, func(s string) error { _, err := units.ParseTank(s, units.None); return err }) {
			found.impossible = append(found.impossible, at.field(detail, tankFix))
		} else {
			found.unreadable = append(found.unreadable, at.field(detail, p.Fix))
		}
		return units.TankSize{}, false
	}
	for _, side := range [...]float64{size.Length, size.Width, size.Height} {
		if side < minSide || side > maxSide {
			found.impossible = append(found.impossible, at.field(at.name+": a side of "+plain(side)+" cm is not possible.", tankFix))
			return units.TankSize{}, false
		}
	}
	return size, true
}

const tankFix = "give each side from 5 to 1000 cm, as in 120x50x50cm"

// plain writes a number with the digits it has and no exponent.
func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
