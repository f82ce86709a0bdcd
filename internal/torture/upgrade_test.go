//go:build linux

package torture

import (
	"context"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5"
)

// laterMigrations are what a later release does to the tables that are in use: it adds to them.
var laterMigrations = []string{
	`ALTER TABLE tanks ADD COLUMN later text; UPDATE schema_migrations SET version = version + 1`,
	`ALTER TABLE residents ADD COLUMN later integer NOT NULL DEFAULT 7; ALTER TABLE readings ADD COLUMN later jsonb; UPDATE schema_migrations SET version = version + 1`,
	`CREATE TABLE later_things (tank_id uuid); CREATE INDEX later_index ON tanks (later); UPDATE schema_migrations SET version = version + 1`,
}

// The binary of the release before is not there to be tried, so this one plays it: a later release migrates
// while it answers. Nothing fails, and when it is started again it says that it is too old.
func TestALaterReleaseMigratesWhileThisOneAnswers(t *testing.T) {
	t.Parallel()
	d := newDatabase(t)
	s := serve(t, d.settings(), "--migrate")
	key := s.key()
	var done atomic.Int64
	var over atomic.Bool
	var wg sync.WaitGroup
	team := make([]*writer, writers)
	for i := range team {
		w := newWriter(newClient(t, s.url, key), i, Size(t, "SEED", 1), &done)
		team[i] = w
		wg.Go(func() {
			for !over.Load() && !t.Failed() {
				w.step()
				done.Add(1)
			}
		})
	}
	getsOn := func() {
		at := done.Load() + 100
		eventually(t, "the writers get on", func() bool { return t.Failed() || done.Load() >= at })
	}
	getsOn()
	conn, err := pgx.Connect(t.Context(), d.running.DSN())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	for _, migration := range laterMigrations {
		// Several statements without parameters are one transaction.
		if _, err := conn.Exec(t.Context(), migration, pgx.QueryExecModeSimpleProtocol); err != nil {
			t.Fatal(err)
		}
		getsOn()
	}
	over.Store(true)
	wg.Wait()
	for _, w := range team {
		if w.unknown > 0 {
			t.Errorf("%d changes of %s failed at first", w.unknown, w.name)
		}
	}
	compare(t, team)

	again := newService(t, d.settings(), "--migrate")
	if err := again.begin(); err == nil || !strings.Contains(again.log.String(), "newer") {
		t.Errorf("a program that is too old starts: %v\n%s", err, again.log)
	}
}
