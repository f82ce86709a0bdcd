package groupings_test

import (
	"testing"

	"commensal/internal/budget"
	"commensal/internal/stocking"
	"commensal/internal/stocking/groupings"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"

	"pgregory.net/rapid"
)

// Whatever the budget, every line has one place or none, no group is a hold, and what
// is said to be proved is.
func TestABudgetGivesAPoorerSplitNotAWrongOne(t *testing.T) {
	real, generated := testfish.Book(t), testfish.GeneratedBook(t, 60)
	rapid.Check(t, func(t *rapid.T) {
		b := testfish.DrawBook(t, real, generated)
		s := stockingtest.DrawYoung(t, b, 10)
		tanks := stockingtest.DrawTanks(t, 3)
		whole, err := groupings.Find(b, s, tanks, groupings.Options{})
		if err != nil {
			t.Skip("not a list")
		}
		if !whole.Complete {
			t.Fatal("without a budget it is not complete")
		}
		s.Budget = budget.New(rapid.Int64Range(1, 3000).Draw(t, "budget"))
		got, err := groupings.Find(b, s, tanks, groupings.Options{})
		if err != nil {
			t.Fatal(err)
		}
		places := 0
		for _, g := range got.Groups {
			places += len(g.Lines)
			if g.Decision == stocking.Hold {
				t.Fatalf("a group that is a hold: %+v", g)
			}
		}
		for _, u := range got.Unplaced {
			places += len(u.Lines)
		}
		if places != len(got.Lines) {
			t.Fatalf("%d lines have %d places", len(got.Lines), places)
		}
		if got.Optimal && whole.Optimal && (len(got.Groups) != len(whole.Groups) && !got.Given || got.Lost != whole.Lost) {
			t.Fatalf("proved %d groups, %v lost; really %d, %v", len(got.Groups), got.Lost, len(whole.Groups), whole.Lost)
		}
		if whole.Optimal && (got.LowerBound > len(whole.Groups) || got.LostBound > whole.Lost+1e-9) {
			t.Fatalf("bounds %d, %v; really %d, %v", got.LowerBound, got.LostBound, len(whole.Groups), whole.Lost)
		}
	})
}

func TestAStoppedSplitEndsSoon(t *testing.T) {
	b, s := testfish.Book(t), stockingtest.LongList(t)
	for i := range s.Lines {
		s.Lines[i].AgeMonth = 2
	}
	for _, tanks := range [][]stocking.Tank{nil, {*stockingtest.GoodTank()}} {
		s.Budget = budget.New(0)
		s.Budget.Stop()
		if _, err := groupings.Find(b, s, tanks, groupings.Options{}); err != nil || s.Budget.Spent() > 60_000 {
			t.Errorf("%d units after the stop, %v", s.Budget.Spent(), err)
		}
	}
}
