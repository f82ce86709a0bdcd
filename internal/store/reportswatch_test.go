package store_test

import (
	"context"
	"testing"
	"time"

	"commensal/internal/evidence"
	"commensal/internal/store"
)

// watchReports runs WatchReports and returns what it tells.
func watchReports(t *testing.T, s *store.Store) <-chan *evidence.Tallies {
	t.Helper()
	told := make(chan *evidence.Tallies, 64)
	runWatch(t, func(ctx context.Context) error {
		return s.WatchReports(ctx, func(tallies *evidence.Tallies) { told <- tallies })
	})
	return told
}

// expectReports waits for the news of so many reports of a and b. What is told before may
// be fewer.
func expectReports(t *testing.T, told <-chan *evidence.Tallies, want int) {
	t.Helper()
	for end := time.After(time.Minute); ; {
		select {
		case tallies := <-told:
			if tally := tallies.Of(ab); tally.Reports() == want {
				return
			}
		case <-end:
			t.Fatalf("not told of %d reports", want)
		}
	}
}

func TestEveryChangeOfReportsIsTold(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{PollInterval: time.Hour})
	here := organization(t, s, "Reef corner")
	told := watchReports(t, s)
	expectReports(t, told, 0)
	first := file(t, s, here, "a", "b", 1, evidence.Fine)
	expectReports(t, told, 1)
	retract(t, s, here, first.ID)
	expectReports(t, told, 0)
	retract(t, s, here, first.ID) // nothing new
	execute(t, dsn, `SELECT pg_notify('commensal_reports', 'rubbish')`)
	file(t, s, here, "a", "b", 1, evidence.Fine)
	expectReports(t, told, 1)
	if err := s.Erase(testContext(t), here); err != nil {
		t.Fatal(err)
	}
	expectReports(t, told, 0)
	if len(told) != 0 {
		t.Errorf("told %d times of nothing new", len(told))
	}
}

func TestAChangeThatNobodyAnnouncedIsFound(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{PollInterval: 20 * time.Millisecond})
	here := organization(t, s, "Reef corner")
	told := watchReports(t, s)
	expectReports(t, told, 0)
	execute(t, dsn, `ALTER TABLE report_shares DISABLE TRIGGER USER`)
	file(t, s, here, "a", "b", 1, evidence.Fine)
	expectReports(t, told, 1)
}
