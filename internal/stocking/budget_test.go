package stocking_test

import (
	"reflect"
	"testing"

	"commensal/internal/budget"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"

	"pgregory.net/rapid"
)

// What decides does not depend on the budget; what only helps says when it is not whole.
func TestABudgetNeverChangesWhatIsDecided(t *testing.T) {
	real, generated := testfish.Book(t), testfish.GeneratedBook(t, 60)
	rapid.Check(t, func(t *rapid.T) {
		b := testfish.DrawBook(t, real, generated)
		s := stockingtest.DrawYoung(t, b, 12)
		whole, err := stocking.Judge(b, s)
		if err != nil {
			t.Skip("not a list")
		}
		s.Budget = budget.New(rapid.Int64Range(1, 3000).Draw(t, "budget"))
		got, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		if got.Decision != whole.Decision || got.SpeciesDecision != whole.SpeciesDecision || !reflect.DeepEqual(got.Findings, whole.Findings) || len(got.Pairings) != len(whole.Pairings) {
			t.Fatalf("decision %v with %d findings, without a budget %v with %d", got.Decision, len(got.Findings), whole.Decision, len(whole.Findings))
		}
		if got.Outlook.Complete && !reflect.DeepEqual(got.Outlook, whole.Outlook) {
			t.Fatalf("an outlook that calls itself complete lacks something")
		}
		for _, e := range got.Outlook.Events {
			if !hasEvent(whole.Outlook.Events, &e) {
				t.Fatalf("an event that is not one: %+v", e)
			}
		}
		l, w := &got.LeaveOut, &whole.LeaveOut
		if l.Optimal && (l.Cost != w.Cost && w.Optimal) || l.Complete && !reflect.DeepEqual(l.Sets, w.Sets) || w.Optimal && len(l.Sets) > 0 && l.Cost < w.Cost-1e-9 {
			t.Fatalf("left out at %v (optimal %v, complete %v), really %v", l.Cost, l.Optimal, l.Complete, w.Cost)
		}
		if w.Optimal && l.Bound > w.Cost+1e-9 {
			t.Fatalf("bound %v, cost %v", l.Bound, w.Cost)
		}
	})
}

func hasEvent(events []stocking.Event, e *stocking.Event) bool {
	for i := range events {
		if reflect.DeepEqual(&events[i], e) {
			return true
		}
	}
	return false
}

// A list of the greatest length takes a bounded number of units for what decides, and a
// stopped one next to none.
func TestTheWorkForTheLongestListIsBounded(t *testing.T) {
	b := testfish.Book(t)
	s := stockingtest.LongList(t)
	for i := range s.Lines {
		s.Lines[i].AgeMonth = 2
	}
	s.Budget = budget.New(1)
	if _, err := stocking.Judge(b, s); err != nil {
		t.Fatal(err)
	}
	const core = 700_000 // two orders of magnitude below what no budget would allow
	if s.Budget.Spent() > core {
		t.Errorf("%d units for what decides", s.Budget.Spent())
	}
	s.Budget = budget.New(0)
	s.Budget.Stop()
	if _, err := stocking.Judge(b, s); err != nil || s.Budget.Spent() > 5000 {
		t.Errorf("%d units after the stop, %v", s.Budget.Spent(), err)
	}
}
