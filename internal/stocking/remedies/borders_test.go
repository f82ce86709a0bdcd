package remedies

import (
	"fmt"
	"testing"

	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
)

// Forty lines are a tank, forty-one a warehouse.
func TestForAWarehouseNoRemedyIsSearched(t *testing.T) {
	kinds := []*species.Species{testfish.Altered("fish 00", func(sp *species.Species) {
		sp.Social, sp.Traits[species.GroupMin] = species.Group, testfish.Exactly(6)
	})}
	for i := 1; i < 41; i++ {
		kinds = append(kinds, testfish.PlainFish(fmt.Sprintf("fish %02d", i)))
	}
	b := testfish.WorldOf(t, kinds...)
	for n, want := range map[int]bool{40: true, 41: false} {
		s := stocking.Stock{Wanted: stocking.DefaultWanted}
		for i := range n {
			s.Lines = append(s.Lines, stocking.Line{Index: i, Count: 1})
		}
		check := stockingtest.MustJudge(t, b, s)
		if got := Find(b, s, &check); (len(got.Best) > 0) != want {
			t.Errorf("of %d lines: %v from %v", n, described(&got), check.Decision)
		}
	}
}

// Of three brutes any two may go, each by being left out or by a tank of its own: of these twelve ways five are told.
func TestFiveRemediesAreTold(t *testing.T) {
	var kinds []*species.Species
	s := stocking.Stock{Wanted: stocking.DefaultWanted}
	for i := range 3 {
		kinds = append(kinds, testfish.Altered(fmt.Sprintf("brute %d", i), func(sp *species.Species) {
			sp.Traits[species.AggressionOthers], sp.Traits[species.Length] = testfish.Exactly(1), testfish.Exactly(20)
			sp.Traits[species.Timidity] = testfish.Exactly(0.8)
		}))
		s.Lines = append(s.Lines, stocking.Line{Index: i, Count: 1})
	}
	b := testfish.WorldOf(t, kinds...)
	check := stockingtest.MustJudge(t, b, s)
	if got := Find(b, s, &check); len(got.Best) != 5 || got.Best[0].Cost >= got.Best[4].Cost {
		t.Errorf("from %v: %v", check.Decision, described(&got))
	}
}
