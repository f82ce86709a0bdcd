package stocking

import (
	"math"

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

const (
	// nearLimit is how far between the preferred and the tolerated edge a reading must be, as a share,
	// to be near the limit: advice, while nearer to comfort it is a note. Common practice, no source.
	nearLimit = 0.7
	// strainedTogether is the sum of such shares over all parameters that makes advice of notes.
	strainedTogether = 1.0
	// outside stands for any reading beyond what is tolerated.
	outside = 2.0
)

// readings compares the tank's readings with a species' ranges, closed intervals both: a reading on
// the edge is inside. Outside the tolerated range is a stop; outside the preferred one a note, and
// advice near the limit or where several parameters strain the fish together.
func (f *finder) readings(first int) {
	for p, severity := range f.ReadingsOf(first) {
		switch {
		case severity == Stop:
			f.addReading(Stop, OutsideTolerated, first, species.Parameter(p))
		case severity == Advice, f.strain(first, species.Parameter(p)) > 0:
			f.addReading(severity, OutsidePreferred, first, species.Parameter(p))
		}
	}
}

// ReadingsOf is how grave it is what each reading is to a line; Note also for one that suits it.
func (j *Assessment) ReadingsOf(i int) (out [species.NumParameters]Severity) {
	var strains [species.NumParameters]float64
	together := 0.0
	for p := range strains {
		strains[p] = j.strain(i, species.Parameter(p))
		together += strains[p]
	}
	for p, share := range strains {
		switch {
		case share > 1:
			out[p] = Stop
		case share >= nearLimit || share > 0 && together >= strainedTogether:
			out[p] = Advice
		}
	}
	return out
}

// strain is how far a reading is from what a species prefers to the edge of what it tolerates, as a
// share: 0 in comfort, outside beyond what it tolerates.
func (j *Assessment) strain(i int, p species.Parameter) float64 {
	r, w := j.Reading(p), &j.Lines[i].Species.Water[p]
	switch {
	case !r.Known || !w.Known() || w.Preferred.Contains(r.Value) || j.shownInside(p, w.Preferred):
		return 0
	case !w.Tolerated.Contains(r.Value):
		return outside
	case r.Value > w.Preferred.High:
		return (r.Value - w.Preferred.High) / (w.Tolerated.High - w.Preferred.High)
	}
	return (w.Preferred.Low - r.Value) / (w.Preferred.Low - w.Tolerated.Low)
}

// shownInside reports a reading that is outside a range by less than the figures of a sentence
// show: nobody reads that 27 °C is outside 22 to 27 °C.
func (j *Assessment) shownInside(p species.Parameter, r species.Range) bool {
	x := shown(p, j.Reading(p).Value)
	return shown(p, r.Low) <= x && x <= shown(p, r.High)
}

// shown is a value as sentences round it.
func shown(p species.Parameter, v float64) float64 {
	if p == species.PH || v < 10 {
		return math.Round(v*10) / 10
	}
	return math.Round(v)
}

func (f *finder) addReading(severity Severity, code Code, first int, p species.Parameter) {
	r, w, unit := f.Reading(p), &f.Lines[first].Species.Water[p], parameterUnit[p]
	found := f.add(severity, code, f.kindLines(first), f.ReadingInto(p, r.Value, f.suiting(p, w)),
		conflict.Evidence{Name: "reading", Value: r.Value, Unit: unit},
		conflict.Evidence{Name: "tolerated_low", Value: w.Tolerated.Low, Unit: unit},
		conflict.Evidence{Name: "tolerated_high", Value: w.Tolerated.High, Unit: unit},
		conflict.Evidence{Name: "preferred_low", Value: w.Preferred.Low, Unit: unit},
		conflict.Evidence{Name: "preferred_high", Value: w.Preferred.High, Unit: unit})
	found.Statement.Words = []conflict.WordCode{ParameterWord[p]}
}

// suiting is the range to move a reading into: what everybody prefers, else what this species
// prefers and everybody tolerates, else what it prefers.
func (f *finder) suiting(p species.Parameter, w *species.WaterRange) species.Range {
	e := f.WaterLimits(p)
	if e.Preferred.Low <= e.Preferred.High {
		return e.Preferred
	}
	if both, ok := w.Preferred.Intersect(e.Tolerated); ok {
		return both
	}
	return w.Preferred
}
