package store_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"commensal/internal/store"
)

// watch runs Watch and returns what it tells.
func watch(t *testing.T, s *store.Store) <-chan int64 {
	t.Helper()
	told := make(chan int64, 16)
	runWatch(t, func(ctx context.Context) error { return s.Watch(ctx, func(revision int64) { told <- revision }) })
	return told
}

// runWatch runs a watch until the end of the test.
func runWatch(t *testing.T, watch func(context.Context) error) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- watch(ctx) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; !errors.Is(err, context.Canceled) {
			t.Errorf("the watch ended with %v, want the context's error", err)
		}
	})
}

func expect(t *testing.T, told <-chan int64, want int64) {
	t.Helper()
	select {
	case got := <-told:
		if got != want {
			t.Errorf("told of revision %d, want %d", got, want)
		}
	case <-time.After(time.Minute):
		t.Fatalf("not told of revision %d", want)
	}
}

// loadNext loads a catalogue that differs from the others.
func loadNext(t *testing.T, s *store.Store, note string) int64 {
	t.Helper()
	c := sample()
	c.Species[0].Note = note
	revision, changed := load(t, s, c, note)
	if !changed {
		t.Fatalf("%q changed nothing", note)
	}
	return revision
}

func TestWatchTellsTheCurrentRevisionAndEachNewOne(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{PollInterval: time.Hour})
	first := loadNext(t, s, "before watching")
	told := watch(t, s)
	expect(t, told, first)
	expect(t, told, loadNext(t, s, "while watching"))
}

func TestWatchWithoutACatalogueTellsTheFirstLoad(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{PollInterval: time.Hour})
	told := watch(t, s)
	expect(t, told, loadNext(t, s, "first"))
}

func TestWatchComesBackWhenItsConnectionIsLost(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{PollInterval: time.Hour})
	first := loadNext(t, s, "first")
	told := watch(t, s)
	expect(t, told, first)
	for _, note := range []string{"second", "third"} {
		// The conditions of one WHERE have no order, so the choice is made first.
		if cut := texts(t, dsn, `WITH ours AS MATERIALIZED (
				SELECT pid FROM pg_stat_activity WHERE datname = current_database() AND application_name = 'commensal')
			SELECT pid::text FROM ours WHERE pg_terminate_backend(pid)`); len(cut) == 0 {
			t.Fatal("no connection was cut")
		}
		expect(t, told, loadNext(t, s, note))
	}
}

func TestWatchFindsARevisionThatNobodyAnnounced(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{PollInterval: 20 * time.Millisecond})
	told := watch(t, s)
	expect(t, told, loadNext(t, s, "announced"))
	execute(t, dsn, `INSERT INTO catalogue_revisions (content_hash, species_count) VALUES (sha256('silent'), 0)`)
	current, err := s.CurrentRevision(testContext(t))
	if err != nil {
		t.Fatal(err)
	}
	expect(t, told, current)
}

func TestAFalseAnnouncementTellsNothingAndHidesNothing(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{PollInterval: time.Hour})
	first := loadNext(t, s, "first")
	told := watch(t, s)
	expect(t, told, first)
	execute(t, dsn, `SELECT pg_notify('commensal_catalogue', '999999')`)
	execute(t, dsn, `SELECT pg_notify('commensal_catalogue', 'rubbish')`)
	expect(t, told, loadNext(t, s, "second"))
}

// A pooler between takes statements and loses announcements: what watches goes past it.
func TestWatchListensWhereItIsTold(t *testing.T) {
	t.Parallel()
	direct, dsn := open(t, store.Options{})
	pooled := openOn(t, "postgres://nobody@127.0.0.1:1/nothing?sslmode=disable", store.Options{WatchDSN: dsn, PollInterval: time.Hour})
	revision := loadNext(t, direct, "one")
	told := watch(t, pooled)
	expect(t, told, revision)
	expect(t, told, loadNext(t, direct, "two")) // announced: nobody looks within the hour
	if _, err := store.Open(t.Context(), dsn, store.Options{WatchDSN: "postgres://host:notaport/x"}); err == nil {
		t.Error("an address that cannot be read is taken")
	}
}
