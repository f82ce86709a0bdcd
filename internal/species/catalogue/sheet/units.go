package sheet

import (
	"errors"
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/units"
)

// parsers read a number with a unit into the unit of the catalogue.
var parsers = map[string]func(string, units.Unit) (float64, error){
	string(species.Centimetre):      units.ParseLength,
	species.Temperature.Info().Unit: units.ParseTemperature,
	species.Hardness.Info().Unit:    units.ParseHardness,
	species.Salinity.Info().Unit:    units.ParseSalinity,
}

const monthsPerYear = 12.0

// divisors are the units that are plain parts or multiples of the unit of the
// catalogue: by the latter and the one given.
var divisors = map[[2]string]float64{
	{string(species.Year), string(species.Month)}: monthsPerYear,
	{string(species.Month), string(species.Year)}: 1 / monthsPerYear,
	{string(species.ShareOf), "%"}:                100,
	{string(species.Grade), "%"}:                  100,
}

var errNoNumber = errors.New("not a number")

// Conversion gives what reads the cells of a column in a unit; ok is false when the
// unit is none of its quantity. A column in the catalogue's own unit is read as the
// text of the catalogue is, to the last digit.
func Conversion(native, given string) (read func(string) (float64, error), ok bool) {
	if given == native || isAlias(native, given) {
		return plainNumber, true
	}
	if divisor, ok := divisors[[2]string{native, given}]; ok {
		return func(cell string) (float64, error) {
			x, err := plainNumber(cell)
			return x / divisor, err
		}, true
	}
	parse := parsers[native]
	if parse == nil {
		return nil, false
	}
	if _, err := parse("1 "+given, units.None); err != nil && !isRange(err) {
		return nil, false
	}
	return func(cell string) (float64, error) {
		x, err := plainNumber(cell)
		if err != nil || x == 0 && native == string(species.Centimetre) { // no length is none in every unit
			return x, err
		}
		return parse(cell+" "+given, units.None)
	}, true
}

// isAlias reports whether a unit is another spelling of the catalogue's own.
func isAlias(native, given string) bool {
	parse := parsers[native]
	if parse == nil {
		return false
	}
	for _, number := range []string{"3", "7"} {
		here, err := parse(number+" "+given, units.None)
		if err != nil || entry.FormatNumber(here) != number {
			return false
		}
	}
	return true
}

// isRange reports whether a text has a unit that fits and a number that does not.
func isRange(err error) bool {
	var p *units.ParseError
	return errors.As(err, &p) && p.Code == units.OutOfRange
}

func plainNumber(cell string) (float64, error) {
	x, ok := entry.ParseNumber(cell)
	if !ok {
		return 0, errNoNumber
	}
	return x, nil
}

// NumberFault explains why a cell is no number of its column.
func NumberFault(cell string, err error) string {
	if !errors.Is(err, errNoNumber) {
		return err.Error()
	}
	if point := strings.Replace(cell, ",", ".", 1); point != cell {
		if _, ok := entry.ParseNumber(point); ok {
			return entry.Shorten(cell) + " is not a number: write " + point + ", with a point"
		}
	}
	if number, rest, found := strings.Cut(cell, " "); found {
		if _, ok := entry.ParseNumber(number); ok {
			return entry.Shorten(cell) + " is not a number: the unit stands in the header, so leave " + entry.Shorten(rest) + " out"
		}
	}
	return entry.Shorten(cell) + " is not a number"
}
