package wire

import (
	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// waterParameter is a water parameter on the wire, in the order of the model.
type waterParameter struct {
	Name     gen.WaterParameter
	Quantity Quantity
}

var WaterParameters = [species.NumParameters]waterParameter{
	species.Temperature: {gen.TemperatureC, Temperature},
	species.PH:          {gen.Ph, Acidity},
	species.Hardness:    {gen.GhDh, hardness},
	species.Salinity:    {gen.SalinityPpt, salinity},
}

// SharedWater is the water that suits all.
func SharedWater(windows []conflict.Window) *gen.SharedWater {
	var all struct { // one piece of memory for all
		water gen.SharedWater
		of    [species.NumParameters]struct {
			parameter gen.SharedParameter
			preferred gen.Interval
		}
	}
	out := &all
	for _, w := range windows {
		of := &out.of[w.Parameter]
		p := &of.parameter
		p.Tolerated, p.Best = Interval(w.Tolerated), Decimals(w.Best, 2)
		if w.PreferredOK {
			of.preferred = Interval(w.Preferred)
			p.Preferred = &of.preferred
		}
		switch w.Parameter {
		case species.Temperature:
			out.water.TemperatureC = p
		case species.PH:
			out.water.Ph = p
		case species.Hardness:
			out.water.GhDh = p
		case species.Salinity:
			out.water.SalinityPpt = p
		}
	}
	return &out.water
}

func Interval(r species.Range) gen.Interval { return gen.Interval{Low: r.Low, High: r.High} }
