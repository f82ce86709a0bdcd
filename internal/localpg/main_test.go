//go:build unix

package localpg

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// helperVariable makes the test binary act as a service: it starts a server on
// the directory the variable names, prints the DSN and waits to be killed.
const helperVariable = "COMMENSAL_LOCALPG_TEST_SERVICE"

func TestMain(m *testing.M) {
	if dir := os.Getenv(helperVariable); dir != "" {
		s, err := Start(context.Background(), Options{DataDir: dir})
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		fmt.Println(s.DSN())
		time.Sleep(time.Minute)
		os.Exit(1)
	}
	code := m.Run()
	if seed.dir != "" {
		if err := os.RemoveAll(seed.dir); err != nil {
			fmt.Fprintln(os.Stderr, err)
			code = 1
		}
	}
	os.Exit(code)
}

// seed is a cluster made once for the tests that are not about making one, which
// costs seconds of processor time each.
var seed struct {
	once sync.Once
	dir  string
	err  error
}

func makeSeed() {
	if seed.dir, seed.err = os.MkdirTemp("", "localpg-seed-"); seed.err != nil {
		return
	}
	s, err := Start(context.Background(), Options{DataDir: seed.dir, Throwaway: true})
	if err != nil {
		seed.err = err
		return
	}
	seed.err = s.Stop(context.Background())
}

// readyDir is a data directory that holds a new cluster.
func readyDir(t *testing.T) string {
	t.Helper()
	dir := testDir(t)
	fill(t, dir)
	return dir
}

// fill puts a new cluster into a data directory.
func fill(t *testing.T, dir string) {
	t.Helper()
	seed.once.Do(makeSeed)
	if seed.err != nil {
		t.Fatal(seed.err)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("cp", "-a", filepath.Join(seed.dir, "cluster"), dir).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
}

// testDir is a folder that the server's own user can enter, which t.TempDir is
// not when root runs the tests.
func testDir(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "localpg-test-")
	if err != nil {
		t.Fatal(err)
	}
	if dir, err = filepath.EvalSymlinks(dir); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := os.RemoveAll(dir); err != nil {
			t.Error(err)
		}
	})
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	return dir
}

func testContext(t *testing.T) context.Context {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	t.Cleanup(cancel)
	return ctx
}

// start starts a server and stops it at the end of the test.
func start(t *testing.T, opts Options) *Server {
	t.Helper()
	s, err := Start(testContext(t), opts)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Stop(context.Background()); err != nil {
			t.Error(err)
		}
	})
	return s
}

func stop(t *testing.T, s *Server) {
	t.Helper()
	if err := s.Stop(testContext(t)); err != nil {
		t.Fatal(err)
	}
}

// query runs one statement and returns its single text value, if any.
func query(t *testing.T, dsn, sql string) string {
	t.Helper()
	ctx := testContext(t)
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	rows, err := conn.Query(ctx, sql, pgx.QueryExecModeSimpleProtocol)
	if err != nil {
		t.Fatal(err)
	}
	values, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
	if len(values) == 0 {
		return ""
	}
	return values[0]
}

const (
	writeRow = "CREATE TABLE kept (word text); INSERT INTO kept VALUES ('coelacanth')"
	readRow  = "SELECT word FROM kept"
	row      = "coelacanth"
)
