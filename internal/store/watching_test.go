package store_test

import (
	"context"
	"sync"
	"testing"
	"time"

	"commensal/internal/evidence"
	"commensal/internal/store"
)

// Whether a new revision would be heard of is told by the watch on the catalogue alone; that on
// reports has a connection of its own, which may live or die by itself.
func TestOnlyTheWatchOnTheCatalogueSaysThatItIsFollowed(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	ctx, cancel := context.WithCancel(t.Context())
	var watches sync.WaitGroup
	counted := make(chan struct{}, 100)
	watches.Go(func() { _ = s.WatchReports(ctx, func(*evidence.Tallies) { counted <- struct{}{} }) })
	<-counted
	time.Sleep(20 * time.Millisecond) // its session is at rest
	if s.Watching() {
		t.Error("reports are watched, and the catalogue counts as followed")
	}
	watches.Go(func() { _ = s.Watch(ctx, func(int64) {}) })
	for end := time.Now().Add(time.Minute); !s.Watching(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("the catalogue is watched, and does not count as followed")
		}
	}
	cancel()
	watches.Wait()
	if s.Watching() {
		t.Error("nothing is watched any more, and the catalogue counts as followed")
	}
}
