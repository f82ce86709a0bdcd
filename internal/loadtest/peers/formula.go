package main

import (
	"commensal/internal/species"
)

// fish is what the simple formula looks at: typical values of the catalogue's entries.
type fish struct {
	Length, Piscivory, Aggression, Timidity float64 // cm; grades from 0 to 1
	Cold, Warm                              float64 // °C, the limits that are tolerated
	Acid, Alkaline                          float64 // pH, the same
}

// readFish takes what the formula looks at from a catalogue. What an entry does not say is 0.
func readFish(s *species.Snapshot) (list []fish) {
	for i := range s.Len() {
		e := s.At(i)
		typical := func(t species.Trait) float64 { return e.Trait(t, species.Unsexed).Typical }
		temperature, ph := e.Water[species.Temperature], e.Water[species.PH]
		list = append(list, fish{typical(species.Length), typical(species.Piscivory), typical(species.AggressionOthers), typical(species.Timidity),
			temperature.Tolerated.Low, temperature.Tolerated.High, ph.Tolerated.Low, ph.Tolerated.High})
	}
	return list
}

// simple is the formula in plain Go, for one fish that acts on another, 0 to 1: the chance that none of four things
// goes wrong, taken from 1. Predation grows with the ratio of the lengths from 1.5 to 4 and with piscivory; aggression
// presses smaller fish more, and timid ones; temperature and pH go wrong where what the two tolerate hardly meets. It is
// made up for this comparison, of the kind that is written in a query, and nobody should keep fish by it.
func simple(a, b *fish) float64 {
	ratio := a.Length / b.Length
	predation := a.Piscivory * clamp((ratio-1.5)/2.5)
	aggression := a.Aggression * clamp(0.5*ratio) * (0.5 + 0.5*b.Timidity)
	heat := clamp((max(a.Cold, b.Cold) - min(a.Warm, b.Warm) + 2) / 6)
	acid := clamp((max(a.Acid, b.Acid) - min(a.Alkaline, b.Alkaline) + 0.5) / 2)
	return 1 - (1-predation)*(1-aggression)*(1-heat)*(1-acid)
}

func clamp(x float64) float64 { return max(0, min(1, x)) }

// The same in the words of the others: L, P, A, T are length, piscivory, aggression, timidity; C, W, I, K the limits.
const (
	celFormula = `1.0 - (1.0 - aP * math.greatest(0.0, math.least(1.0, (aL / bL - 1.5) / 2.5)))
		* (1.0 - aA * math.greatest(0.0, math.least(1.0, 0.5 * (aL / bL))) * (0.5 + 0.5 * bT))
		* (1.0 - math.greatest(0.0, math.least(1.0, (math.greatest(aC, bC) - math.least(aW, bW) + 2.0) / 6.0)))
		* (1.0 - math.greatest(0.0, math.least(1.0, (math.greatest(aI, bI) - math.least(aK, bK) + 0.5) / 2.0)))`
	exprFormula = `1.0 - (1.0 - A.Piscivory * max(0.0, min(1.0, (A.Length / B.Length - 1.5) / 2.5)))
		* (1.0 - A.Aggression * max(0.0, min(1.0, 0.5 * (A.Length / B.Length))) * (0.5 + 0.5 * B.Timidity))
		* (1.0 - max(0.0, min(1.0, (max(A.Cold, B.Cold) - min(A.Warm, B.Warm) + 2.0) / 6.0)))
		* (1.0 - max(0.0, min(1.0, (max(A.Acid, B.Acid) - min(A.Alkaline, B.Alkaline) + 0.5) / 2.0)))`
	sqlFormula = `1 - (1 - a.piscivory * greatest(0, least(1, (a.length / b.length - 1.5::float8) / 2.5::float8)))
		* (1 - a.aggression * greatest(0, least(1, 0.5::float8 * (a.length / b.length))) * (0.5::float8 + 0.5::float8 * b.timidity))
		* (1 - greatest(0, least(1, (greatest(a.cold, b.cold) - least(a.warm, b.warm) + 2) / 6)))
		* (1 - greatest(0, least(1, (greatest(a.acid, b.acid) - least(a.alkaline, b.alkaline) + 0.5::float8) / 2)))`
)
