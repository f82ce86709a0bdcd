package units

import "strings"

// TankSize is the inside of a box-shaped tank in cm: its length from left to
// right, its width from front to back, and its height.
type TankSize struct {
	Length, Width, Height float64
}

// Volume is the inside volume in L, filled to the brim.
func (t TankSize) Volume() float64 { return t.Length * t.Width * t.Height / 1000 }

// Footprint is the floor area in cm².
func (t TankSize) Footprint() float64 { return t.Length * t.Width }

// ParseTank reads a tank size, always in the order length × width × height: three
// lengths with an x or × between them. The unit stands once at the end
// ("120x45x50cm", "48 x 24 x 24 in") or with every part ("4ft x 18in x 24in");
// units on only some of the others would leave the rest to a guess and are an
// error, as are no units at all when the implied unit is [None]. Each side is
// rounded and bounded as by [ParseLength]. Errors are of type [*ParseError].
func ParseTank(s string, implied Unit) (TankSize, error) {
	if err := guard(s); err != nil {
		return TankSize{}, err
	}
	parts := strings.FieldsFunc(s, isTimes)
	if len(parts) != 3 || strings.Count(strings.Map(timesToX, s), "x") != 2 {
		return TankSize{}, parseError(WrongParts, s, "a tank size has exactly three parts", tankFix)
	}
	var x [3]float64
	var unit [3]string
	for i, part := range parts {
		var err *ParseError
		if x[i], unit[i], err = number(s, strings.TrimSpace(part)); err != nil {
			return TankSize{}, err
		}
		unit[i] = strings.TrimSpace(unit[i])
	}
	return tankOf(s, x, unit, implied)
}

const tankFix = "write length x width x height, for example 120x45x50cm or 4ft x 18in x 24in"

// tankOf settles the unit of each side and converts.
func tankOf(s string, x [3]float64, unit [3]string, implied Unit) (TankSize, error) {
	bare := unit[0] == "" && unit[1] == ""
	all := unit[0] != "" && unit[1] != "" && unit[2] != ""
	if !bare && !all {
		return TankSize{}, parseError(NoUnit, s, "only some sides have a unit",
			"put the unit once at the end or on every side")
	}
	if bare {
		unit[0], unit[1] = unit[2], unit[2]
	}
	var cm [3]float64
	for i := range x {
		u, perr := lengths.unit(s, unit[i], implied)
		if perr != nil {
			return TankSize{}, perr
		}
		var err error
		if cm[i], err = lengths.convert(s, x[i], u); err != nil {
			return TankSize{}, err
		}
	}
	return TankSize{cm[0], cm[1], cm[2]}, nil
}

func isTimes(r rune) bool { return r == 'x' || r == 'X' || r == '×' }

func timesToX(r rune) rune {
	if isTimes(r) {
		return 'x'
	}
	return r
}
