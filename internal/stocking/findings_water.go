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

// readings finds readings that do not suit a species.
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

// Swing is the lowest and the highest that one water parameter was measured at of late.
type Swing struct {
	Low, High float64
	Known     bool
}

// Swings are what the tank's readings spanned within the last Days, by parameter.
type Swings struct {
	Days int
	Of   [species.NumParameters]Swing
}

// wideSwing is the span within a week from which on a tank is not steady, by parameter, in °C, pH,
// °dH and ppt. Trade practice, no source: day and night in a heated tank and an ordinary
// water change stay below.
var wideSwing = [species.NumParameters]float64{3, 0.8, 5, 2}

// swings notes water that is not steady. It is only ever a note: the list is judged by
// the water as it is, and what made it swing may be over.
func (f *finder) swings() {
	if f.Tank == nil {
		return
	}
	for p, s := range f.Tank.Swings.Of {
		if s.Known && s.High-s.Low >= wideSwing[p] {
			found := f.add(Note, WaterSwings, nil, nil, f.swingEvidence(p)...)
			found.Statement.Words = []conflict.WordCode{ParameterWord[p]}
		}
	}
}

// swingsOf notes water that was beyond what a species lives with, though it no longer is.
func (f *finder) swingsOf(first int) {
	if f.Tank == nil {
		return
	}
	for p, s := range f.Tank.Swings.Of {
		w := &f.Lines[first].Species.Water[p]
		now := f.Reading(species.Parameter(p))
		if !s.Known || !w.Known() || !now.Known || !w.Tolerated.Contains(now.Value) {
			continue
		}
		extreme := s.High
		if !w.Tolerated.Contains(s.Low) {
			extreme = s.Low
		}
		if w.Tolerated.Contains(extreme) {
			continue
		}
		unit := parameterUnit[p]
		found := f.add(Note, SwungOutside, f.kindLines(first), nil, append(f.swingEvidence(p),
			conflict.Evidence{Name: "extreme", Value: extreme, Unit: unit},
			conflict.Evidence{Name: "tolerated_low", Value: w.Tolerated.Low, Unit: unit},
			conflict.Evidence{Name: "tolerated_high", Value: w.Tolerated.High, Unit: unit})...)
		found.Statement.Words = []conflict.WordCode{ParameterWord[p]}
	}
}

func (f *finder) swingEvidence(p int) []conflict.Evidence {
	s, unit := f.Tank.Swings.Of[p], parameterUnit[p]
	return []conflict.Evidence{{Name: "lowest", Value: s.Low, Unit: unit}, {Name: "highest", Value: s.High, Unit: unit},
		{Name: "days", Value: float64(f.Tank.Swings.Days)}}
}
