package additions

import (
	"reflect"
	"slices"
	"testing"

	"commensal/internal/budget"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"

	"pgregory.net/rapid"
)

// With a budget fewer species are told of; what is told of each is the same.
func TestABudgetLeavesOutAndInventsNothing(t *testing.T) {
	real, generated := testfish.Book(t), testfish.GeneratedBook(t, 60)
	rapid.Check(t, func(t *rapid.T) {
		b := testfish.DrawBook(t, real, generated)
		s := stockingtest.DrawYoung(t, b, 6)
		offer := drawOffer(t, b, &s)
		whole, err := Rank(b, s, Options{Limit: 200, Below: 200, InStock: offer})
		if err != nil {
			t.Skip("not a list")
		}
		if !whole.Complete {
			t.Fatal("without a budget it is not complete")
		}
		s.Budget = budget.New(rapid.Int64Range(1, 20_000).Draw(t, "budget"))
		got, err := Rank(b, s, Options{Limit: 200, Below: 200, InStock: offer})
		if err != nil {
			t.Fatal(err)
		}
		if got.Complete && (len(got.Fitting) != len(whole.Fitting) || len(got.Below) != len(whole.Below)) {
			t.Fatal("it calls itself complete and is not")
		}
		for _, a := range slices.Concat(got.Fitting, got.Below) {
			if !slices.ContainsFunc(slices.Concat(whole.Fitting, whole.Below), func(o Addition) bool { return reflect.DeepEqual(a, o) }) {
				t.Fatalf("%s is told of otherwise", a.Species.ID)
			}
		}
	})
}

func TestTheWorkForTheLongestListIsBounded(t *testing.T) {
	b, s := testfish.Book(t), stockingtest.LongList(t)
	s.Lines = s.Lines[:199]
	for i := range s.Lines {
		s.Lines[i].AgeMonth = 2
	}
	s.Budget = budget.New(300_000)
	a, err := Rank(b, s, Options{Limit: 200, Below: 200})
	if err != nil || a.Complete || s.Budget.Spent() > 1_500_000 {
		t.Errorf("%d units, complete %v, %v", s.Budget.Spent(), a.Complete, err)
	}
	s.Budget = budget.New(0)
	s.Budget.Stop()
	if _, err := Rank(b, s, Options{}); err != nil || s.Budget.Spent() > 10_000 {
		t.Errorf("%d units after the stop, %v", s.Budget.Spent(), err)
	}
}
