package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

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
