package localcli

import (
	"math"
	"strings"

	"commensal/api/gen"
	"commensal/internal/units"
)

// waterRows writes shared water under a title.
func (o *page) waterRows(title string, s *gen.SharedWater) {
	o.title(title)
	o.rows(s)
}

func (o *page) rows(s *gen.SharedWater) {
	for _, row := range []struct {
		parameter gen.WaterParameter
		value     *gen.SharedParameter
	}{{gen.TemperatureC, s.TemperatureC}, {gen.Ph, s.Ph}, {gen.GhDh, s.GhDh}, {gen.SalinityPpt, s.SalinityPpt}} {
		if row.value != nil {
			v := row.value
			o.line("  %s%s, best near %s", pad(parameterName[row.parameter], 13),
				o.span(row.parameter, v.Tolerated.Low, v.Tolerated.High), o.quantity(row.parameter, v.Best))
		}
	}
}

var parameterName = map[gen.WaterParameter]string{
	gen.TemperatureC: "temperature", gen.Ph: "pH", gen.GhDh: "hardness", gen.SalinityPpt: "salinity",
}

// span writes a range of a water value with its unit, and in US units where asked for.
func (o *page) span(parameter gen.WaterParameter, low, high float64) string {
	to := func(low, high string) string {
		number, _, _ := strings.Cut(low, " ")
		return number + " to " + high
	}
	lowSI, lowUS := inUnits(parameter, low)
	highSI, highUS := inUnits(parameter, high)
	if o.US && highUS != "" {
		return to(lowSI, highSI) + " (" + to(lowUS, highUS) + ")"
	}
	return to(lowSI, highSI)
}

// quantity writes a water value with its unit, and in US units where asked for.
func (o *page) quantity(parameter gen.WaterParameter, v float64) string {
	si, us := inUnits(parameter, v)
	if o.US && us != "" {
		return si + " (" + us + ")"
	}
	return si
}

// inUnits writes a water value with its unit, and in US units where there are others.
func inUnits(parameter gen.WaterParameter, v float64) (si, us string) {
	si = number(math.Round(v*10) / 10) // nobody sets a pH more finely than to a tenth
	switch parameter {
	case gen.TemperatureC:
		si, us = units.FormatTemperature(v), units.FormatTemperatureUS(v)
	case gen.GhDh:
		si, us = units.FormatHardness(v), units.FormatHardnessUS(v)
	case gen.SalinityPpt:
		si, us = units.FormatSalinity(v), units.FormatSpecificGravity(v)
	}
	return si, us
}
