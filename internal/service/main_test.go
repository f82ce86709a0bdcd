package service

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"sync"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/store/dbtest"
)

func TestMain(m *testing.M) { dbtest.Main(m) }

// served is a service that runs beside a test.
type served struct {
	base string // http://host:port
	log  *lockedBuffer
	stop func() error // ends it; what Run returned
}

// settings are those of a service on free ports and a database that it may migrate.
func settings(dsn string, log io.Writer) *Settings {
	return &Settings{
		Database: Database{URL: Secret(dsn)}, Addr: "127.0.0.1:0", MetricsAddr: "127.0.0.1:0", Migrate: true,
		Limits: Limits{MaxConnections: 100, WorkLimit: leastWork}, Version: "test", Log: log, Getenv: func(string) string { return "" },
	}
}

// start runs a service on a database until the test ends, with settings changed as the test wants.
func start(t *testing.T, dsn string, change func(*Settings)) *served {
	t.Helper()
	s := &served{log: &lockedBuffer{}}
	set := settings(dsn, s.log)
	if change != nil {
		change(set)
	}
	ready, ended := make(chan string, 1), make(chan error, 1)
	set.Ready = func(base string, _ *conflict.Book) { ready <- base }
	ctx, cancel := context.WithCancel(context.Background())
	go func() { ended <- Run(ctx, set) }()
	s.stop = sync.OnceValue(func() error {
		cancel()
		return <-ended
	})
	t.Cleanup(func() { _ = s.stop() })
	select {
	case s.base = <-ready:
	case err := <-ended:
		ended <- err
		t.Fatalf("the service did not start: %v\n%s", err, s.log)
	}
	return s
}

// get asks the service and returns status and body.
func (s *served) get(t *testing.T, path string) (int, string) {
	t.Helper()
	response, err := http.Get(s.base + path)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	if err != nil {
		t.Fatal(err)
	}
	return response.StatusCode, string(body)
}

// lockedBuffer takes writes from many goroutines.
type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lockedBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lockedBuffer) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}
