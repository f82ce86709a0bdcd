package wire

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/internal/stocking"
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

// Quantity is a kind of value that carries a number with a unit.
type Quantity struct {
	parse     func(string) (float64, error)
	low, high float64
	unit      string // for people
}

// The quantities of requests: water, and lengths of fish and of the sides and the room of a tank.
var (
	Temperature = Quantity{func(s string) (float64, error) { return units.ParseTemperature(s, units.Celsius) }, 0, maxTemperature, " °C"}
	Acidity     = Quantity{parsePH, minPH, maxPH, ""}
	hardness    = Quantity{func(s string) (float64, error) { return units.ParseHardness(s, units.GermanDegree) }, 0, maxHardness, " °dH"}
	salinity    = Quantity{func(s string) (float64, error) { return units.ParseSalinity(s, units.PPT) }, 0, units.MaxSalinity, " ppt"}
	FishLength  = Quantity{func(s string) (float64, error) { return units.ParseLength(s, units.Centimetre) }, 0, maxFish, " cm"}
	// ResidentLength is that of a fish in a list, which has one.
	ResidentLength = Quantity{FishLength.parse, stocking.MinLengthCM, maxFish, " cm"}
	Side           = Quantity{FishLength.parse, minSide, maxSide, " cm"}
	Volume         = Quantity{func(s string) (float64, error) { return units.ParseVolume(s, units.Litre) }, 0.5, 1e6, " L"}
)

// Read reads an optional parameter; what is wrong with it goes to found.
func (q Quantity) Read(name string, text *string, found *respond.Faults) (value float64, given bool) {
	if text == nil {
		return 0, false
	}
	x, err := q.value(*text)
	if err != nil {
		q.refuse(QuerySpot(name), *text, err, found)
		return 0, false
	}
	return x, true
}

// Spot is where in a request a value stands, and what it is called there.
type Spot struct {
	In            gen.FieldErrorIn
	Pointer, Name string
}

// QuerySpot is the spot of a query parameter.
func QuerySpot(name string) Spot {
	return Spot{gen.Query, "/query/" + respond.PointerToken(name), name}
}

// BodySpot is the spot of a field of an object that stands at a pointer in the body.
func BodySpot(at, name string) Spot { return Spot{gen.Body, at + "/" + name, name} }

func (s Spot) field(detail, fix string) gen.FieldError {
	return respond.AtField(s.In, s.Pointer, detail, fix)
}

// ReadAt reads a quantity that is present.
func (q Quantity) ReadAt(at Spot, text string, found *respond.Faults) (value float64, ok bool) {
	x, err := q.value(text)
	if err != nil {
		q.refuse(at, text, err, found)
		return 0, false
	}
	return x, true
}

// value is the quantity that a text says, where it is one that can be.
func (q Quantity) value(text string) (float64, error) {
	x, err := q.parse(text)
	if err == nil && (x < q.low || x > q.high) {
		err = &units.ParseError{Code: units.OutOfRange, Input: validate.Printable(text), What: "it is not possible"}
	}
	return x, err
}

func (q Quantity) refuse(at Spot, text string, err error, found *respond.Faults) {
	var p *units.ParseError
	if !errors.As(err, &p) {
		p = &units.ParseError{Input: validate.Printable(text), What: "it cannot be read"}
	}
	detail := at.Name + ": " + strconv.Quote(p.Input) + ": " + p.What + "."
	if p.Code == units.OutOfRange || negative(text, p.Code, func(s string) error { _, err := q.parse(s); return err }) {
		found.Impossible = append(found.Impossible, at.field(detail, "write a value from "+Plain(q.low)+" to "+Plain(q.high)+q.unit))
		return
	}
	found.Unreadable = append(found.Unreadable, at.field(detail, p.Fix))
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
	x, ok := validate.PlainNumber(strings.TrimSpace(s))
	switch {
	case !ok:
		return 0, &units.ParseError{Code: units.NotANumber, Input: validate.Printable(s), What: "it is not a plain number", Fix: "write a plain decimal without a unit, as in 7.2"}
	case math.Abs(x) > 100:
		return 0, &units.ParseError{Code: units.OutOfRange, Input: validate.Printable(s), What: "it is not possible"}
	}
	return math.Round(x*100) / 100, nil
}

// ReadTank reads the tank's dimensions.
func ReadTank(text *string, found *respond.Faults) (size units.TankSize, given bool) {
	if text == nil {
		return units.TankSize{}, false
	}
	return ReadTankAt(QuerySpot("tank"), *text, found)
}

// ReadTankAt reads dimensions that are present.
func ReadTankAt(at Spot, text string, found *respond.Faults) (size units.TankSize, ok bool) {
	size, err := units.ParseTank(text, units.None)
	if litres, isVolume := volumeText(text); err != nil && isVolume {
		size, err = units.CustomaryTank(litres), nil
	}
	var p *units.ParseError
	if errors.As(err, &p) {
		if p.Code == units.WrongParts && !strings.ContainsAny(text, sidesApart) {
			p.What, p.Fix = "it has neither three sides nor a volume with its unit", "write the sides, as in 120x45x50cm or 4ft x 18in x 24in, or the volume, as in 54L or 20gal"
		}
		detail := at.Name + ": " + strconv.Quote(p.Input) + ": " + p.What + "."
		if p.Code == units.OutOfRange || negative(text, p.Code, func(s string) error { _, err := units.ParseTank(s, units.None); return err }) {
			found.Impossible = append(found.Impossible, at.field(detail, tankFix))
		} else {
			found.Unreadable = append(found.Unreadable, at.field(detail, p.Fix))
		}
		return units.TankSize{}, false
	}
	for _, side := range [...]float64{size.Length, size.Width, size.Height} {
		if side < minSide || side > maxSide {
			found.Impossible = append(found.Impossible, at.field(at.Name+": a side of "+Plain(side)+" cm is not possible.", tankFix))
			return units.TankSize{}, false
		}
	}
	return size, true
}

// volumeText is a tank that is told by its volume with a unit, as in 55gal or 200 L: it is taken as a
// tank of customary proportions.
func volumeText(text string) (litres float64, ok bool) {
	if strings.ContainsAny(text, sidesApart) {
		return 0, false
	}
	litres, err := units.ParseVolume(text, units.None)
	return litres, err == nil && litres > 0
}

// sidesApart stand between the sides of a tank.
const sidesApart = "xX×*"

const tankFix = "give each side from 5 to 1000 cm, as in 120x50x50cm"
