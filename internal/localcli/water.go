package localcli

import (
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
			o.line("  %s%s to %s, best near %s", pad(parameterName[row.parameter], 13),
				number(v.Tolerated.Low), o.quantity(row.parameter, v.Tolerated.High), o.quantity(row.parameter, v.Best))
		}
	}
}

var parameterName = map[gen.WaterParameter]string{
	gen.TemperatureC: "temperature", gen.Ph: "pH", gen.GhDh: "hardness", gen.SalinityPpt: "salinity",
}

// quantity writes a water value with its unit, and in US units where asked for.
func (o *page) quantity(parameter gen.WaterParameter, v float64) string {
	si, us := number(v), ""
	switch parameter {
	case gen.TemperatureC:
		si, us = units.FormatTemperature(v), units.FormatTemperatureUS(v)
	case gen.GhDh:
		si, us = units.FormatHardness(v), units.FormatHardnessUS(v)
	case gen.SalinityPpt:
		si, us = units.FormatSalinity(v), units.FormatSpecificGravity(v)
	}
	if o.US && us != "" {
		return si + " (" + us + ")"
	}
	return si
}
