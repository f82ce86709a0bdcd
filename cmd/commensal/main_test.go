package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"commensal/internal/store/dbtest"
)

func TestMain(m *testing.M) {
	if filepath.Base(os.Args[0]) == curlName {
		if err := curl(os.Args[1:], os.Stdout); err != nil {
			fmt.Fprintln(os.Stderr, "curl:", err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	dbtest.Main(m)
}

// environment is a whole environment: nothing of the machine's leaks in.
type environment map[string]string

func (e environment) get(name string) string { return e[name] }

// run carries out one command line to its end.
func run(tb testing.TB, env environment, args ...string) (status int, stdout, stderr string) {
	tb.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	var out, errs bytes.Buffer
	p := Program{Stdout: &out, Stderr: &errs, Getenv: env.get}
	status = p.Run(ctx, args)
	return status, out.String(), errs.String()
}

// mustRun is run for a command line that has to succeed.
func mustRun(tb testing.TB, env environment, args ...string) (stdout string) {
	tb.Helper()
	status, out, errs := run(tb, env, args...)
	if status != exitOK {
		tb.Fatalf("commensal %s: status %d\n%s%s", strings.Join(args, " "), status, out, errs)
	}
	return out
}

// served is a service that runs beside a test.
type served struct {
	base   string // http://host:port
	lines  []string
	stderr *lockedBuffer
	stop   func() (status int)
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

// serve starts the program's own serve command on free ports and waits for the line
// that says where. The service ends with the test.
func serve(t *testing.T, env environment, args ...string) *served {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	r, w := io.Pipe()
	s := &served{stderr: &lockedBuffer{}}
	p := Program{Stdout: w, Stderr: s.stderr, Getenv: env.get}
	status := make(chan int, 1)
	go func() {
		code := p.Run(ctx, append([]string{"serve", "--addr", "127.0.0.1:0", "--metrics-addr", "127.0.0.1:0", "--drain-delay", "0s"}, args...))
		w.Close()
		status <- code
	}()
	s.stop = sync.OnceValue(func() int {
		cancel()
		return <-status
	})
	t.Cleanup(func() { s.stop() })
	s.read(t, r)
	return s
}

// read takes the greeting: everything up to the line with curl, or the only line.
func (s *served) read(t *testing.T, r io.Reader) {
	t.Helper()
	lines := bufio.NewScanner(r)
	for lines.Scan() {
		s.lines = append(s.lines, lines.Text())
		if strings.HasPrefix(lines.Text(), "curl ") || strings.Contains(lines.Text(), "no species yet") {
			break
		}
	}
	if len(s.lines) == 0 {
		t.Fatalf("the service did not start: status %d\n%s", s.stop(), s.stderr)
	}
	_, rest, _ := strings.Cut(s.lines[0], " on ")
	base, _, _ := strings.Cut(rest, " ")
	s.base = strings.TrimSuffix(base, ":")
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
