package main

import (
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"

	"commensal/internal/localpg"
	"commensal/internal/localpg/localpgtest"

	"github.com/jackc/pgx/v5"
)

func TestServeWithNothingSetRunsAPrivatePostgresThatKeepsItsData(t *testing.T) {
	t.Parallel()
	env := environment{"COMMENSAL_DATA_DIR": localpgtest.PrivateFolder(t) + "/data"}
	first := serve(t, env)
	if status, body := first.get(t, "/v1/pairings/oscar/neon-tetra"); status != http.StatusOK {
		t.Fatalf("%d %s", status, body)
	}
	t.Run("a second service on the folder is refused with the first one's number", func(t *testing.T) {
		status, _, stderr := run(t, env, "serve", "--addr", "127.0.0.1:0", "--metrics-addr", "off")
		if status != exitFailure || !strings.Contains(stderr, "is in use by process") {
			t.Errorf("status %d: %s", status, stderr)
		}
	})
	if status := first.stop(); status != exitOK {
		t.Fatalf("status %d", status)
	}
	again := serve(t, env)
	if !strings.Contains(again.lines[0], "catalogue revision 1)") {
		t.Errorf("after a restart: %s", again.lines[0])
	}
	again.stop()

	t.Run("a catalogue of one's own survives a restart", func(t *testing.T) {
		dir := t.TempDir() + "/catalogue"
		mustRun(t, nil, "catalogue", "export", "--out", dir)
		editFile(t, dir+"/species/all.yaml", "en: [Oscar,", "en: [Renamed oscar, Oscar,")
		mustRun(t, env, "catalogue", "load", "--dir", dir)
		s := serve(t, env)
		if _, body := s.get(t, "/v1/species/oscar"); !strings.Contains(body, `"Renamed oscar"`) {
			t.Errorf("served: %s", body)
		}
	})
}

// With a private PostgreSQL the service works as a role that is no superuser and owns nothing. What
// it stores, corrects, counts and erases works all the same.
func TestWithAPrivatePostgresTheServiceHasNoPowerOverIt(t *testing.T) {
	t.Parallel()
	dir := localpgtest.PrivateFolder(t) + "/data"
	env := environment{"COMMENSAL_DATA_DIR": dir}
	s := serve(t, env)
	key, _ := makeKey(t, env, "--organization", "Reef corner", "--scope", "tanks:read,tanks:write,checks:read,checks:write,reports:write,manage")
	for _, c := range []struct{ path, body string }{
		{"/v1/tanks", `{"tank":{"size":"100x40x40cm"},"residents":[{"species":"neon tetra","count":12}]}`},
		{"/v1/checks", `{"record":true,"residents":[{"species":"neon tetra"},{"species":"oscar"}]}`},
		{"/v1/reports", `{"first":"guppy","second":"neon tetra","months":14,"outcome":"fine"}`},
	} {
		if status, _, body := s.send(t, http.MethodPost, c.path, key, c.body); status != http.StatusCreated {
			t.Errorf("%s: %d %s", c.path, status, body)
		}
	}
	newCurator(t, s, env).note(t, "corrected without power")
	s.learns(t, "corrected without power")
	s.eraseEverything(t, key)

	access, err := localpg.Running(dir)
	if err != nil {
		t.Fatal(err)
	}
	users := querySQL(t, access.Owner, `
		SELECT DISTINCT usename || CASE WHEN rolsuper THEN ' (superuser)' ELSE '' END FROM pg_stat_activity JOIN pg_roles ON rolname = usename
		WHERE application_name = 'commensal' AND datname = current_database()`)
	if !slices.Equal(users, []string{localpg.ServiceRole}) {
		t.Errorf("the service is connected as %v", users)
	}
}

// eraseEverything erases what the organization of a key has stored.
func (s *served) eraseEverything(t *testing.T, key string) {
	t.Helper()
	_, _, body := s.send(t, http.MethodGet, "/v1/keys", key, "")
	_, rest, _ := strings.Cut(body, `"organization":"`)
	organization, _, ok := strings.Cut(rest, `"`)
	if !ok {
		t.Fatalf("no organization in %s", body)
	}
	if status, _, body := s.send(t, http.MethodDelete, "/v1/organizations/"+organization+"/data", key, ""); status != http.StatusNoContent {
		t.Errorf("erasing: %d %s", status, body)
	}
	if _, _, body := s.send(t, http.MethodGet, "/v1/checks", key, ""); !strings.Contains(body, `"items":[]`) && !strings.Contains(body, `"checks":[]`) {
		t.Errorf("left: %s", body)
	}
}

// querySQL reads texts beside the program.
func querySQL(t *testing.T, dsn, sql string) []string {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	rows, err := conn.Query(t.Context(), sql)
	if err != nil {
		t.Fatal(err)
	}
	texts, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	return texts
}

// editFile replaces a text that must stand in the file once.
func editFile(t *testing.T, name, from, to string) {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(data), from); n != 1 {
		t.Fatalf("%s has %q %d times", name, from, n)
	}
	if err := os.WriteFile(name, []byte(strings.Replace(string(data), from, to, 1)), 0o644); err != nil {
		t.Fatal(err)
	}
}

// setSchemaVersion makes a database look as if another program had migrated it.
func setSchemaVersion(t *testing.T, dsn string, version int) {
	t.Helper()
	execSQL(t, dsn, `UPDATE schema_migrations SET version = $1`, version)
}

// execSQL runs SQL beside the program.
func execSQL(t *testing.T, dsn, sql string, args ...any) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	if _, err := conn.Exec(t.Context(), sql, args...); err != nil {
		t.Fatal(err)
	}
}
