//go:build linux

package torture

import (
	"context"
	"encoding/json"
	"net/http"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"

	"github.com/jackc/pgx/v5"
)

// laterMigrations are what a later release does to the tables that are in use: it adds to them.
var laterMigrations = []string{
	`ALTER TABLE tanks ADD COLUMN later text; UPDATE schema_migrations SET version = version + 1`,
	`ALTER TABLE residents ADD COLUMN later integer NOT NULL DEFAULT 7; ALTER TABLE readings ADD COLUMN later jsonb; UPDATE schema_migrations SET version = version + 1`,
	`CREATE TABLE later_things (tank_id uuid); CREATE INDEX later_index ON tanks (later); UPDATE schema_migrations SET version = version + 1`,
}

// Only deploy/upgrade-check.sh has the binary of a release before. Here this one plays it: a later release migrates
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
		wg.Go(func() { w.goOn(t, &over, &done) })
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
			t.Errorf("%d changes of %s failed at first: %s", w.unknown, w.name, w.put)
		}
	}
	compare(t, team)

	again := newService(t, d.settings(), "--migrate")
	if err := again.begin(); err == nil || !strings.Contains(again.log.String(), "newer") {
		t.Errorf("a program that is too old starts: %v\n%s", err, again.log)
	}
}

// goOn has a writer ask for one change after the other until it is over, and counts them.
func (w *writer) goOn(t *testing.T, over *atomic.Bool, done *atomic.Int64) {
	for !over.Load() && !t.Failed() {
		w.step()
		done.Add(1)
	}
}

// before names the binary of an earlier release, which deploy/upgrade-check.sh builds.
const before = "COMMENSAL_TORTURE_BEFORE"

// An earlier release answers while this one migrates beside it and takes over the catalogue, and goes on afterwards.
// Both are asked for changes all the while; none fails. Started again, the earlier one ends for a schema that it does
// not know, or leaves the later catalogue as it is.
func TestAnEarlierReleaseAnswersWhileThisOneMigrates(t *testing.T) {
	program := os.Getenv(before)
	if program == "" {
		t.Skip(before + " names no binary of an earlier release: see deploy/upgrade-check.sh")
	}
	d := newDatabase(t)
	old := newService(t, d.settings(), "--migrate")
	old.program = program
	old.start()
	key := old.key()
	was := revisionOf(t, old)

	var done atomic.Int64
	var over atomic.Bool
	var wg sync.WaitGroup
	var team []*writer
	join := func(s *service) {
		for range writers / 2 {
			w := newWriter(newClient(t, s.url, key), len(team), Size(t, "SEED", 1), &done)
			team = append(team, w)
			wg.Go(func() { w.goOn(t, &over, &done) })
		}
	}
	getsOn := func() {
		at := done.Load() + 200
		eventually(t, "the writers get on", func() bool { return t.Failed() || done.Load() >= at })
	}
	join(old)
	getsOn()
	late := serve(t, d.settings(), "--migrate")
	join(late)
	getsOn()
	now := revisionOf(t, late)
	if now <= was {
		t.Errorf("revision %d is current, as before: this program has no later catalogue than the one before", now)
	}
	getsOn()
	over.Store(true)
	wg.Wait()
	for _, w := range team {
		if w.unknown > 0 {
			t.Errorf("%d changes of %s failed at first: %s", w.unknown, w.name, w.put)
		}
	}
	compare(t, team)

	old.kill(syscall.SIGTERM)
	switch err := old.begin(); {
	case err == nil && revisionOf(t, old) != now:
		t.Errorf("the earlier release answers from revision %d, this one from %d", revisionOf(t, old), now)
	case err != nil && !strings.Contains(old.log.String(), "newer"):
		t.Errorf("the earlier release does not start and does not say why: %v\n%s", err, old.log)
	}
	if after := revisionOf(t, late); after != now {
		t.Errorf("revision %d is current, %d before the earlier release was started again", after, now)
	}
	t.Logf("%d changes; revision %d before, %d after", done.Load(), was, now)
}

// revisionOf is the revision of the catalogue that a replica answers from.
func revisionOf(t *testing.T, s *service) int64 {
	t.Helper()
	response, err := http.Get(s.url("/readyz"))
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	var said struct {
		Revision int64 `json:"catalogue_revision"`
	}
	if err := json.NewDecoder(response.Body).Decode(&said); err != nil || said.Revision == 0 {
		t.Fatalf("/readyz of %s: revision %d, %v", s.program, said.Revision, err)
	}
	return said.Revision
}
