package wording

import (
	"testing"

	"commensal/internal/stocking"
)

// Every code that a finding may have has a place in the order of reasons.
func TestEveryFindingHasAPlace(t *testing.T) {
	for _, code := range FindingCodes() {
		if _, ok := stocking.PlaceOf(code); !ok {
			t.Errorf("%s has no place", code)
		}
	}
}

// What harms animals soonest is told first.
func TestReasonsStandInOrder(t *testing.T) {
	order := []stocking.Code{stocking.LawForbids, "not_a_fish_turtle", "predation", "water_differs", stocking.TankTooShort, stocking.LaterConflict,
		stocking.LoadTooHeavy, stocking.GroupTooSmall, stocking.OutsidePreferred, stocking.LongCommitment}
	for i := range order[1:] {
		before, _ := stocking.PlaceOf(order[i])
		after, _ := stocking.PlaceOf(order[i+1])
		if before >= after {
			t.Errorf("%s does not stand before %s", order[i], order[i+1])
		}
	}
}
