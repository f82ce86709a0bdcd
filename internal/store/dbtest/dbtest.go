package dbtest

import (
	"context"
	"fmt"
	"os"
	"sync"
	"testing"
	"time"
)

// patience bounds each step: a first start, a pull of the image, a clone.
const patience = 3 * time.Minute

// shared is the server of this test binary.
var shared struct {
	mu      sync.Mutex
	running bool // Main is in charge and will stop the server
	tried   bool
	server  *server
	err     error // why there is no server; it sticks
}

// Main runs the tests and stops the server, if one was started. It does not return.
func Main(m *testing.M) { os.Exit(Run(m)) }

// Run is [Main] for a test binary that has more to do at its end; it returns the exit
// status.
func Run(m *testing.M) (code int) {
	shared.mu.Lock()
	shared.running = true
	shared.mu.Unlock()
	code = m.Run()
	if err := stopShared(); err != nil {
		fmt.Fprintln(os.Stderr, "dbtest: stop:", err)
		code = max(code, 1)
	}
	return code
}

func stopShared() error {
	shared.mu.Lock()
	defer shared.mu.Unlock()
	if shared.server == nil {
		return nil
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	return shared.server.close(ctx)
}

// New returns the connection string of a migrated database that is the caller's
// alone until the end of the test.
func New(tb testing.TB) string {
	tb.Helper()
	return database(tb, true)
}

// NewEmpty is [New] without the migrations, for tests of the migrations.
func NewEmpty(tb testing.TB) string {
	tb.Helper()
	return database(tb, false)
}

func database(tb testing.TB, migrated bool) string {
	tb.Helper()
	srv := get(tb)
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	name, err := srv.create(ctx, migrated)
	if err != nil {
		tb.Fatalf("dbtest: %v", err)
	}
	tb.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), patience)
		defer cancel()
		if err := srv.drop(ctx, name); err != nil {
			tb.Errorf("dbtest: %v", err)
		}
	})
	return withDatabase(srv.dsn, name)
}

// get is the server, started at the first call.
func get(tb testing.TB) *server {
	tb.Helper()
	shared.mu.Lock()
	defer shared.mu.Unlock()
	if !shared.running {
		tb.Fatal("dbtest: this test binary needs func TestMain(m *testing.M) { dbtest.Main(m) }, which stops the database at the end")
	}
	if !shared.tried {
		shared.tried = true
		ctx, cancel := context.WithTimeout(context.Background(), patience)
		defer cancel()
		shared.server, shared.err = open(ctx)
	}
	if shared.err != nil {
		tb.Fatalf("dbtest: %v", shared.err)
	}
	return shared.server
}
