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
