package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// sharedWater finds the parameters that no value suits. The two extreme lines are
// named: they alone rule it out.
func (f *finder) sharedWater() {
	for _, w := range f.apart {
		unit := parameterUnit[w.Parameter]
		lines := []int{min(w.Low, w.High), max(w.Low, w.High)}
		found := f.add(Stop, NoSharedWater, lines, nil,
			conflict.Evidence{Name: "low_range_low", Value: w.LowRange.Low, Unit: unit},
			conflict.Evidence{Name: "low_range_high", Value: w.LowRange.High, Unit: unit},
			conflict.Evidence{Name: "high_range_low", Value: w.HighRange.Low, Unit: unit},
			conflict.Evidence{Name: "high_range_high", Value: w.HighRange.High, Unit: unit},
			conflict.Evidence{Name: "difference", Value: w.Difference, Unit: unit})
		found.Statement.Actor, found.Statement.Other = f.Lines[w.Low].Species, f.Lines[w.High].Species
		found.Statement.Words = []conflict.WordCode{ParameterWord[w.Parameter]}
	}
}

// readings compares the tank's readings with a species' ranges, closed intervals both:
// a reading on the edge is inside. Outside the tolerated range is a stop, outside the
// preferred one advice.
func (f *finder) readings(first int) {
	for p := range species.Parameter(species.NumParameters) {
		r, w := f.Reading(p), &f.Lines[first].Species.Water[p]
		if !r.Known || !w.Known() || w.Preferred.Contains(r.Value) {
			continue
		}
		code, severity := OutsidePreferred, Advice
		if !w.Tolerated.Contains(r.Value) {
			code, severity = OutsideTolerated, Stop
		}
		unit := parameterUnit[p]
		found := f.add(severity, code, f.kindLines(first), f.ReadingInto(p, r.Value, w.Preferred),
			conflict.Evidence{Name: "reading", Value: r.Value, Unit: unit},
			conflict.Evidence{Name: "tolerated_low", Value: w.Tolerated.Low, Unit: unit},
			conflict.Evidence{Name: "tolerated_high", Value: w.Tolerated.High, Unit: unit},
			conflict.Evidence{Name: "preferred_low", Value: w.Preferred.Low, Unit: unit},
			conflict.Evidence{Name: "preferred_high", Value: w.Preferred.High, Unit: unit})
		found.Statement.Words = []conflict.WordCode{ParameterWord[p]}
	}
}
