package apitest

import (
	"context"
	"sync/atomic"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest/fixture"
	"commensal/internal/evidence"
	"commensal/internal/store"
)

// WithTallies gives a server reports that no database stands behind.
func WithTallies(of map[evidence.Pair]evidence.Tally) func(*api.Config) {
	tallies := evidence.NewTallies(of)
	return func(c *api.Config) { c.Reports = func() *evidence.Tallies { return tallies } }
}

// follow gives a server the reports of a store, as the service does.
func follow(t *testing.T, st *store.Store) func(*api.Config) {
	t.Helper()
	var now atomic.Pointer[evidence.Tallies]
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		_ = st.WatchReports(ctx, func(t *evidence.Tallies) { now.Store(t) })
	}()
	t.Cleanup(func() { cancel(); <-done })
	return func(c *api.Config) { c.Reports = now.Load }
}

// Replica is another server on the same database.
func (h *Service) Replica(t *testing.T) *Witness {
	t.Helper()
	st, err := store.Open(context.Background(), h.DSN, store.Options{PollInterval: time.Hour})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(st.Close)
	return Ask(t, ServerOf(t, fixture.Few(t), follow(t, st)))
}

// Soon asks again and again until an answer is as it should be, and notes how long that
// took. The minute is for a test that hangs.
func Soon(t *testing.T, what string, as func() bool) {
	t.Helper()
	begin := time.Now()
	for !as() {
		if time.Since(begin) > time.Minute {
			t.Fatalf("not yet: %s", what)
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Logf("%s after %v", what, time.Since(begin).Round(time.Millisecond))
}
