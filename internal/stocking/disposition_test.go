package stocking

import (
	"testing"

	"commensal/internal/conflict"

	"pgregory.net/rapid"
)

func TestADispositionIsBoundedAndStandsBesideTheSpecies(t *testing.T) {
	b := book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawStock(t, b, 5)
		plain := s
		plain.Lines = append([]Line(nil), s.Lines...)
		for i := range plain.Lines {
			// Keep lines apart as they are in s: only the disposition goes.
			plain.Lines[i].Weight = float64(i + 2)
			s.Lines[i].Weight = float64(i + 2)
			plain.Lines[i].Observed, plain.Lines[i].MonthsObserved = 0, 0
		}
		with, err := Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		without, err := Judge(b, plain)
		if err != nil {
			t.Fatal(err)
		}
		if with.SpeciesDecision != without.Decision || without.Summary.Observed != nil {
			t.Fatalf("species-level decision %v, without dispositions %v", with.SpeciesDecision, without.Decision)
		}
		moved := 0
		for _, p := range with.Pairings {
			ordinary := p.Score.Value
			if p.SpeciesLevel != nil {
				ordinary = p.SpeciesLevel.Value
				moved++
			}
			if want := pairValue(&without, with.Lines[p.First].Weight, with.Lines[p.Second].Weight); ordinary != want {
				t.Fatalf("species-level score %v, want %v", ordinary, want)
			}
		}
		if (moved > 0) != (with.Summary.Observed != nil) {
			t.Fatalf("%d pairings moved, summary %+v", moved, with.Summary.Observed)
		}
	})
}

// pairValue is the score of the pairing of two lines told apart by their weights.
func pairValue(c *Check, a, b float64) float64 {
	for _, p := range c.Pairings {
		x, y := c.Lines[p.First].Weight, c.Lines[p.Second].Weight
		if (x == a && y == b) || (x == b && y == a) {
			return p.Score.Value
		}
	}
	return -1
}

func TestACalmFishStillEatsWhatFits(t *testing.T) {
	oscar := some(t, "oscar", 1)
	oscar.Observed, oscar.MonthsObserved = conflict.Calmer, 120
	c := mustJudge(t, book(t), Stock{Lines: []Line{oscar, some(t, "neon tetra", 8)}, Wanted: DefaultWanted})
	if c.Decision != Hold || c.Pairings[0].Score.Level != conflict.Severe || c.Pairings[0].Score.Reason != conflict.Predation {
		t.Errorf("a calm oscar with neons: %v, %+v", c.Decision, c.Pairings[0].Score)
	}
}
