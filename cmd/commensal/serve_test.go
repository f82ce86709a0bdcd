package main

import (
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"commensal/internal/localpg"
	"commensal/internal/store/dbtest"

	"log/slog"
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

func TestMetricsAreOnTheirOwnAddressOnly(t *testing.T) {
	t.Parallel()
	s := serve(t, environment{"DATABASE_URL": dbtest.New(t)}, "--migrate")
	if status, _ := s.get(t, "/metrics"); status != http.StatusNotFound {
		t.Errorf("the public address answers /metrics with %d", status)
	}
	_, rest, _ := strings.Cut(s.stderr.String(), `"metrics":"`)
	addr, _, _ := strings.Cut(rest, `"`)
	response, err := http.Get("http://" + addr + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	if err != nil || response.StatusCode != http.StatusOK || !strings.Contains(string(body), "# TYPE") {
		t.Errorf("%d %v %s", response.StatusCode, err, body)
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
	eventually(t, "the new name is served", func() bool {
		_, body := s.get(t, "/v1/species/astronotus-ocellatus")
		return strings.Contains(body, `"vernacular_name":"Renamed oscar"`) && strings.Contains(body, `"catalogue_revision":2`)
	})
}

func TestLookupsKeepWorkingWhenTheDatabaseGoesAway(t *testing.T) {
	t.Parallel()
	db, err := localpg.Start(t.Context(), localpg.Options{DataDir: privateFolder(t) + "/db", Throwaway: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Stop(context.Background()) })
	s := serve(t, environment{"DATABASE_URL": db.DSN()}, "--migrate")
	if err := db.Stop(t.Context()); err != nil {
		t.Fatal(err)
	}
	eventually(t, "readyz says degraded", func() bool {
		status, body := s.get(t, "/readyz")
		return status == http.StatusOK && strings.Contains(body, `"degraded"`)
	})
	if status, body := s.get(t, "/v1/pairings/oscar/guppy"); status != http.StatusOK || !strings.Contains(body, `"score"`) {
		t.Errorf("lookup: %d %s", status, body)
	}
	if status := s.stop(); status != exitOK {
		t.Errorf("status %d after a clean end without a database", status)
	}
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
	eventually(t, "lookups are answered", func() bool {
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

// A request that is under way when the service is told to end gets its answer.
func TestRequestsUnderWayFinishBeforeTheEnd(t *testing.T) {
	t.Parallel()
	begun, finish := make(chan struct{}), make(chan struct{})
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &service{set: &settings{}, log: slog.New(slog.DiscardHandler), failed: make(chan error, 1)}
	s.answer(l, http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		close(begun)
		<-finish
		_, _ = io.WriteString(w, "done")
	}), 10, nil)
	answer := make(chan error, 1)
	go func() {
		response, err := http.Get("http://" + l.Addr().String())
		if err == nil {
			var body []byte
			body, err = io.ReadAll(response.Body)
			response.Body.Close()
			if err == nil && string(body) != "done" {
				err = errors.New("the answer is " + string(body))
			}
		}
		answer <- err
	}()
	<-begun
	ended := make(chan error, 1)
	go func() { ended <- s.close() }()
	eventually(t, "new connections are refused", func() bool {
		conn, err := net.DialTimeout("tcp", l.Addr().String(), time.Second)
		if err == nil {
			conn.Close()
		}
		return err != nil
	})
	select {
	case <-ended:
		t.Error("the service ended before its request")
	default:
	}
	close(finish)
	if err := <-answer; err != nil {
		t.Error(err)
	}
	if err := <-ended; err != nil {
		t.Error(err)
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
	book, err := makeBook(7, c)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range func() []string { a, b := examplePair(book); return []string{a, b} }() {
		if _, err := book.Snapshot.Resolve(name); err != nil {
			t.Error(err)
		}
	}
}

func TestAnAddressOnEveryInterfaceIsPrintedAsLoopback(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", ":0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	addr := reachable(l)
	if !strings.HasPrefix(addr, "127.0.0.1:") {
		t.Fatalf("printed as %s", addr)
	}
	conn, err := net.DialTimeout("tcp", addr, 5*time.Second)
	if err != nil {
		t.Fatal(err)
	}
	conn.Close()
}
