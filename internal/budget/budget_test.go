package budget_test

import (
	"sync"
	"testing"

	"commensal/internal/budget"
)

func TestABudgetEnds(t *testing.T) {
	b := budget.New(10)
	for i := range 9 {
		if !b.Spend(1) || b.Ended() {
			t.Fatalf("ended after %d of 10", i+1)
		}
	}
	if b.Spend(1) || !b.Ended() || b.Stopped() || b.Spent() != 10 {
		t.Errorf("not ended after 10 of 10: spent %d", b.Spent())
	}
}

func TestAStoppedBudgetEndsAtOnce(t *testing.T) {
	for _, limit := range []int64{0, 1 << 40} {
		b := budget.New(limit)
		if !b.Spend(1000) || b.Stopped() {
			t.Fatal("ended by itself")
		}
		b.Stop()
		if b.Spend(1) || !b.Ended() || !b.Stopped() {
			t.Error("goes on")
		}
	}
}

func TestNoBudgetHasNoEnd(t *testing.T) {
	var b *budget.Budget
	b.Stop()
	if !b.Spend(1<<60) || b.Ended() || b.Stopped() || b.Spent() != 0 {
		t.Error("nil is a budget")
	}
}

func TestManyCountTogether(t *testing.T) {
	b := budget.New(0)
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			for range 1000 {
				b.Spend(3)
			}
		})
	}
	group.Wait()
	if b.Spent() != 24_000 {
		t.Errorf("spent %d", b.Spent())
	}
}
