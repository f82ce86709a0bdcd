package main

import (
	"net/http"
	"os"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"
)

func TestServeWithNothingSetRunsAPrivatePostgresThatKeepsItsData(t *testing.T) {
	t.Parallel()
	env := environment{"COMMENSAL_DATA_DIR": privateFolder(t) + "/data"}
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
