package main

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"commensal/internal/localpg/localpgtest"
	"commensal/internal/store/dbtest"

	"github.com/jackc/pgx/v5"
)

// curator changes entries of a running service.
type curator struct {
	*served
	key string
}

// note gives the oscar a note over the API, on top of the entry as it is.
func (c *curator) note(t *testing.T, note string) {
	t.Helper()
	const path = "/v1/species/astronotus-ocellatus"
	response, err := http.Get(c.base + path)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	var entry map[string]any
	if err := json.NewDecoder(response.Body).Decode(&entry); err != nil {
		t.Fatal(err)
	}
	entry["note"] = note
	body, err := json.Marshal(entry)
	if err != nil {
		t.Fatal(err)
	}
	request, err := http.NewRequestWithContext(t.Context(), http.MethodPut, c.base+path, strings.NewReader(string(body)))
	if err != nil {
		t.Fatal(err)
	}
	request.Header = http.Header{"Authorization": {"Bearer " + c.key}, "Content-Type": {"application/json"}, "If-Match": {response.Header.Get("ETag")}}
	begin := time.Now()
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if text, _ := io.ReadAll(answer.Body); answer.StatusCode != http.StatusOK {
		t.Fatalf("%d %s", answer.StatusCode, text)
	}
	t.Logf("the change took %v", time.Since(begin))
}

// learns waits until a service answers with a note.
func (s *served) learns(t *testing.T, note string) {
	t.Helper()
	begin := time.Now()
	localpgtest.Eventually(t, "the note is served", func() bool {
		_, body := s.get(t, "/v1/species/astronotus-ocellatus")
		return strings.Contains(body, note)
	})
	t.Logf("served after %v", time.Since(begin))
}

func newCurator(t *testing.T, s *served, env environment) *curator {
	t.Helper()
	out := mustRun(t, env, "key", "create", "--organization", "curators", "--scope", "curate")
	return &curator{s, strings.TrimSpace(out)}
}

// Whoever corrects an entry finds it corrected at once, and every other replica soon. What
// was kept of the old answers is forgotten.
func TestEveryReplicaTakesACorrectionOver(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.New(t)}
	one, two := serve(t, env, "--migrate"), serve(t, env, "--migrate")
	_, before := two.get(t, "/v1/pairings/oscar/guppy")
	c := newCurator(t, one, env)
	c.note(t, "Corrected once.")
	if _, body := one.get(t, "/v1/species/oscar"); !strings.Contains(body, "Corrected once.") {
		t.Error("the replica that made the correction does not have it")
	}
	two.learns(t, "Corrected once.")
	if _, after := two.get(t, "/v1/pairings/oscar/guppy"); after == before || !strings.Contains(after, `"catalogue_revision":2`) {
		t.Error("an answer of the old revision is still given")
	}
	// The other way round, on top of what the first one made.
	(&curator{two, c.key}).note(t, "Corrected twice.")
	one.learns(t, "Corrected twice.")
}

// Where no notification comes through, as behind some poolers, replicas look themselves.
func TestReplicasNeedNoNotification(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	env := environment{"DATABASE_URL": dsn}
	// What is announced from now on is heard by nobody.
	execSQL(t, dsn, `CREATE FUNCTION public.pg_notify(text, text) RETURNS void LANGUAGE sql RETURN NULL`)
	execSQL(t, dsn, `DO $$ BEGIN EXECUTE format('ALTER DATABASE %I SET search_path = public, pg_catalog', current_database()); END $$`)
	ear, err := pgx.Connect(t.Context(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer ear.Close(context.Background())
	if _, err := ear.Exec(t.Context(), `LISTEN commensal_catalogue`); err != nil {
		t.Fatal(err)
	}
	one, two := serve(t, env, "--migrate"), serve(t, env, "--migrate")
	newCurator(t, one, env).note(t, "Unannounced.")
	two.learns(t, "Unannounced.")
	brief, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
	defer cancel()
	if heard, err := ear.WaitForNotification(brief); err == nil {
		t.Errorf("it was announced after all: %+v", heard)
	}
}

func TestACuratedCatalogueIsNotReplacedAtTheNextStart(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.New(t)}
	s := serve(t, env, "--migrate")
	newCurator(t, s, env).note(t, "Corrected.")
	s.stop()
	serve(t, env, "--migrate").learns(t, "Corrected.")
}

func TestRevisionsAreListedAndRestoredAtAPrompt(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.New(t)}
	s := serve(t, env, "--migrate")
	newCurator(t, s, env).note(t, "Corrected.")
	list := mustRun(t, env, "catalogue", "revisions")
	if lines := strings.Split(strings.TrimSpace(list), "\n"); len(lines) != 3 || !strings.HasPrefix(lines[1], "2 ") || !strings.Contains(lines[1], "corrected over the API") ||
		!strings.Contains(lines[2], " - ") || !strings.Contains(lines[2], "built-in") {
		t.Errorf("%s", list)
	}
	if out := mustRun(t, env, "catalogue", "restore", "1", "--note", "a mistake"); !strings.Contains(out, "as revision 3") {
		t.Errorf("%s", out)
	}
	if out := mustRun(t, env, "catalogue", "restore", "1"); !strings.Contains(out, "revision 3 holds this catalogue already") {
		t.Errorf("%s", out)
	}
	if list := mustRun(t, env, "catalogue", "revisions", "--limit", "1"); !strings.Contains(list, "a mistake") || strings.Contains(list, "built-in") {
		t.Errorf("%s", list)
	}
	for _, bad := range [][]string{{"restore", "9"}, {"restore", "first"}, {"revisions", "--limit", "0"}, {"restore"}} {
		if status, _, stderr := run(t, env, append([]string{"catalogue"}, bad...)...); status != exitUsage {
			t.Errorf("%v: %d %s", bad, status, stderr)
		}
	}
}
