package main

import (
	"net"
	"net/http"
	"os"
	"os/exec"
	"strings"
	"testing"

	"commensal/internal/localpg/localpgtest"
	"commensal/internal/service"
	"commensal/internal/store/dbtest"
)

func TestTheLinesThatServePrintsWork(t *testing.T) {
	t.Parallel()
	s := serve(t, environment{"DATABASE_URL": dbtest.New(t)}, "--migrate")
	if len(s.lines) != 3 || !strings.Contains(s.lines[0], " species (catalogue revision 1)") {
		t.Fatalf("greeting %q", s.lines)
	}
	bin := builtProgram(t)
	for i, want := range []string{"Severe conflict", `"level":"severe"`} {
		cmd := exec.CommandContext(t.Context(), "sh", "-c", s.lines[1+i])
		cmd.Env = append(os.Environ(), "PATH="+bin+string(os.PathListSeparator)+os.Getenv("PATH"))
		out, err := cmd.Output()
		if err != nil || !strings.Contains(string(out), want) {
			t.Errorf("%s: %v\n%s", s.lines[1+i], err, out)
		}
	}
	if status, body := s.get(t, "/readyz"); status != http.StatusOK || !strings.Contains(body, `"ok"`) {
		t.Errorf("readyz: %d %s", status, body)
	}
	if out := mustRun(t, nil, "ready", "--addr", strings.TrimPrefix(s.base, "http://")); !strings.Contains(out, `"ok"`) {
		t.Errorf("commensal ready: %s", out)
	}
	if status := s.stop(); status != exitOK {
		t.Errorf("status %d after a clean end", status)
	}
}

func TestANewRevisionIsServedWithoutARestart(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	s := serve(t, environment{"DATABASE_URL": dsn}, "--migrate")
	dir := t.TempDir() + "/catalogue"
	mustRun(t, nil, "catalogue", "export", "--out", dir)
	editFile(t, dir+"/species/all.yaml", "en: [Oscar,", "en: [Renamed oscar, Oscar,")
	out := mustRun(t, environment{"DATABASE_URL": dsn}, "catalogue", "load", "--dir", dir)
	if !strings.Contains(out, "as revision 2") {
		t.Fatalf("load: %s", out)
	}
	localpgtest.Eventually(t, "the new name is served", func() bool {
		_, body := s.get(t, "/v1/species/astronotus-ocellatus")
		return strings.Contains(body, `"vernacular_name":"Renamed oscar"`) && strings.Contains(body, `"catalogue_revision":2`)
	})
}

func TestServeRefusesASchemaThatIsNotItsOwn(t *testing.T) {
	t.Parallel()
	t.Run("an older one, unless it may migrate", func(t *testing.T) {
		t.Parallel()
		env := environment{"DATABASE_URL": dbtest.NewEmpty(t)}
		status, _, stderr := run(t, env, "serve", "--addr", "127.0.0.1:0", "--metrics-addr", "off")
		if status != exitFailure || !strings.Contains(stderr, "commensal migrate up") || !strings.Contains(stderr, "--migrate") {
			t.Errorf("status %d: %s", status, stderr)
		}
		if s := serve(t, env, "--migrate"); len(s.lines) != 3 {
			t.Errorf("with --migrate: %q", s.lines)
		}
	})
	t.Run("a newer one, always", func(t *testing.T) {
		t.Parallel()
		dsn := dbtest.New(t)
		setSchemaVersion(t, dsn, 999999)
		status, _, stderr := run(t, environment{"DATABASE_URL": dsn}, "serve", "--migrate", "--addr", "127.0.0.1:0", "--metrics-addr", "off")
		if status != exitFailure || !strings.Contains(stderr, "newer") {
			t.Errorf("status %d: %s", status, stderr)
		}
	})
}

func TestAnEmptyDatabaseIsServedAsSuchUntilACatalogueIsLoaded(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.New(t)}
	s := serve(t, env)
	if len(s.lines) != 1 || !strings.Contains(s.lines[0], "catalogue load") {
		t.Fatalf("greeting %q", s.lines)
	}
	if status, _ := s.get(t, "/v1/pairings/oscar/guppy"); status != http.StatusServiceUnavailable {
		t.Errorf("lookup without a catalogue: %d", status)
	}
	mustRun(t, env, "catalogue", "load")
	localpgtest.Eventually(t, "lookups are answered", func() bool {
		status, _ := s.get(t, "/v1/pairings/oscar/guppy")
		return status == http.StatusOK
	})
}

func TestAnAddressInUseIsOneClearLine(t *testing.T) {
	t.Parallel()
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	addr := taken.Addr().String()
	for _, c := range []struct{ flag, other, variable string }{
		{"--addr", "--metrics-addr", "COMMENSAL_ADDR"}, {"--metrics-addr", "--addr", "COMMENSAL_METRICS_ADDR"},
	} {
		status, _, stderr := run(t, environment{"DATABASE_URL": "host=/nowhere"}, "serve", c.flag, addr, c.other, "127.0.0.1:0")
		if status != exitFailure || strings.Count(stderr, "\n") != 1 {
			t.Errorf("%s: status %d: %s", c.flag, status, stderr)
		}
		for _, part := range []string{addr, c.flag, c.variable} {
			if !strings.Contains(stderr, part) {
				t.Errorf("%s: %q lacks %q", c.flag, stderr, part)
			}
		}
	}
}

func TestTheExamplePairIsOneThatTheCatalogueKnows(t *testing.T) {
	t.Parallel()
	c, err := readCatalogue("")
	if err != nil {
		t.Fatal(err)
	}
	c.Species = c.Species[:2]
	c.Words = nil
	book, err := service.MakeBook(7, c)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range func() []string { a, b := examplePair(book); return []string{a, b} }() {
		if _, err := book.Snapshot.Resolve(name); err != nil {
			t.Error(err)
		}
	}
}
