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

func SharedWater(windows []conflict.Window) *gen.SharedWater {
	out := &gen.SharedWater{}
	for _, w := range windows {
		p := &gen.SharedParameter{Tolerated: Interval(w.Tolerated), Best: Decimals(w.Best, 2)}
		if w.PreferredOK {
			preferred := Interval(w.Preferred)
			p.Preferred = &preferred
		}
		switch w.Parameter {
		case species.Temperature:
			out.TemperatureC = p
		case species.PH:
			out.Ph = p
		case species.Hardness:
			out.GhDh = p
		case species.Salinity:
			out.SalinityPpt = p
		}
	}
	return out
}

func Interval(r species.Range) gen.Interval { return gen.Interval{Low: r.Low, High: r.High} }
