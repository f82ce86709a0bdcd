package placements

import (
	"testing"

	"commensal/internal/budget"
	"commensal/internal/stocking"
	"commensal/internal/stocking/testfish"
)

// Whatever the budget, what is placed is placed well, and nothing is said to be proved
// that was not looked at.
func TestABudgetPlacesFewerNotWorse(t *testing.T) {
	b := testfish.Book(t)
	in, to := shelter(t, b, 30, 40)
	whole, err := Find(b, in, stocking.DefaultWanted, to, Options{ByTank: true})
	if err != nil || !whole.Complete {
		t.Fatalf("complete %v, %v", whole.Complete, err)
	}
	before := -1
	for _, limit := range []int64{1, 100, 1000, 10_000, 100_000, 1_000_000} {
		o := Options{ByTank: true, Budget: budget.New(limit)}
		got, err := Find(b, in, stocking.DefaultWanted, to, o)
		if err != nil {
			t.Fatal(err)
		}
		if got.Lost < whole.LostBound-1e-9 || got.LostBound > whole.Lost+1e-9 || got.Optimal && got.Lost != whole.Lost {
			t.Errorf("with %d: %v lost, at least %v; really %v", limit, got.Lost, got.LostBound, whole.Lost)
		}
		placed := 0
		for _, tank := range got.Tanks {
			placed += len(tank.Refs)
			if tank.Decision == stocking.Hold {
				t.Errorf("with %d: tank %d is a hold", limit, tank.Tank)
			}
		}
		if placed < before {
			t.Errorf("with %d: %d placed, with less %d", limit, placed, before)
		}
		before = placed
		if !got.Complete && limit >= 1_000_000 || got.Complete && limit <= 100 {
			t.Errorf("with %d: complete %v (spent %d)", limit, got.Complete, o.Budget.Spent())
		}
	}
	stopped := Options{Budget: budget.New(0)}
	stopped.Budget.Stop()
	if _, err := Find(b, in, stocking.DefaultWanted, to, stopped); err != nil || stopped.Budget.Spent() > 10_000 {
		t.Errorf("%d units after the stop, %v", stopped.Budget.Spent(), err)
	}
}
