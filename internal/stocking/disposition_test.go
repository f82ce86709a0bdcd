package stocking_test

import (
	"math"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"

	"pgregory.net/rapid"
)

func TestADispositionIsBoundedAndStandsBesideTheSpecies(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 5)
		if rapid.Bool().Draw(t, "young") {
			s = stockingtest.DrawYoung(t, b, 5)
		}
		for i := range s.Lines {
			s.Lines[i].Incoming = rapid.Bool().Draw(t, "incoming")
		}
		plain := s
		plain.Lines = append([]stocking.Line(nil), s.Lines...)
		for i := range plain.Lines {
			// Keep lines apart as they are in s: only the disposition goes.
			plain.Lines[i].Weight = float64(i + 2)
			s.Lines[i].Weight = float64(i + 2)
			plain.Lines[i].Observed, plain.Lines[i].MonthsObserved = 0, 0
		}
		with, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		without, err := stocking.Judge(b, plain)
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
			if want := pairValue(&without, with.Lines[p.First].Weight, with.Lines[p.Second].Weight); math.Abs(ordinary-want) > 1e-9 { // the lines may stand in another order
				t.Fatalf("species-level score %v, want %v", ordinary, want)
			}
		}
		if (moved > 0) != (with.Summary.Observed != nil) {
			t.Fatalf("%d pairings moved, summary %+v", moved, with.Summary.Observed)
		}
	})
}

// pairValue is the score of the pairing of two lines told apart by their weights.
func pairValue(c *stocking.Check, a, b float64) float64 {
	for _, p := range c.Pairings {
		x, y := c.Lines[p.First].Weight, c.Lines[p.Second].Weight
		if (x == a && y == b) || (x == b && y == a) {
			return p.Score.Value
		}
	}
	return -1
}

func TestACalmFishStillEatsWhatFits(t *testing.T) {
	oscar := stockingtest.Some(t, "oscar", 1)
	oscar.Observed, oscar.MonthsObserved = conflict.Calmer, 120
	c := stockingtest.MustJudge(t, testfish.Book(t), stocking.Stock{Lines: []stocking.Line{oscar, stockingtest.Some(t, "neon tetra", 8)}, Wanted: stocking.DefaultWanted})
	if c.Decision != stocking.Hold || c.Pairings[0].Score.Level != conflict.Severe || c.Pairings[0].Score.Reason != conflict.Predation {
		t.Errorf("a calm oscar with neons: %v, %+v", c.Decision, c.Pairings[0].Score)
	}
}
