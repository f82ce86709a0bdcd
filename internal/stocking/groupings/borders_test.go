package groupings

import (
	"fmt"
	"slices"
	"testing"

	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
)

func TestAListIsSplitOverFiveHundredTanksAtMost(t *testing.T) {
	b := testfish.WorldOf(t, testfish.PlainFish("fish a"))
	s := &stocking.Stock{Lines: []stocking.Line{{Count: 1}}}
	if err := validateGroupings(b, s, make([]stocking.Tank, 500)); err != nil {
		t.Error(err)
	}
	err, ok := validateGroupings(b, s, make([]stocking.Tank, 501)).(*stocking.InputError)
	if !ok || err.Problems[0].Field != "tanks" {
		t.Errorf("501 tanks: %v", err)
	}
}

// A list of forty lines is split beside its check, and a longer one asked about by itself.
func TestALongListIsNotSplitBesideItsCheck(t *testing.T) {
	var kinds []*species.Species
	for i := range 41 {
		kinds = append(kinds, testfish.PlainFish(fmt.Sprintf("fish %02d", i)))
	}
	b := testfish.WorldOf(t, kinds...)
	for n, want := range map[int]bool{40: true, 41: false} {
		s := stocking.Stock{Wanted: stocking.DefaultWanted}
		for i := range n {
			s.Lines = append(s.Lines, stocking.Line{Index: i, Count: 1})
		}
		check := stockingtest.MustJudge(t, b, s)
		check.Decision = stocking.Hold
		if got := SplitIfHeld(b, s, &check); (got != nil) != want {
			t.Errorf("of %d lines a split is told: %v", n, got != nil)
		}
	}
}

// A tank is free of conflict at every moment of its first twelve months that is looked at.
func TestEveryMomentOfAYearIsLookedAt(t *testing.T) {
	months := stocking.SoonMonths()
	if !slices.Equal(soon[:], months) || months[len(months)-1] != 12 {
		t.Errorf("the months %v of %v", soon, months)
	}
}
