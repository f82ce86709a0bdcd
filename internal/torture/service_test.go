//go:build linux

package torture

import (
	"bufio"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// service is the program in a process of its own, which may be killed and started again.
type service struct {
	t       *testing.T
	program string
	env     []string
	args    []string
	base    atomic.Value // string: http://host:port of the present process
	metrics string       // http://host:port
	process *exec.Cmd
	ended   chan struct{} // closed when the process has ended
	log     *journal
}

// journal collects what the processes say.
type journal struct {
	mu   sync.Mutex
	text strings.Builder
}

func (j *journal) add(line string) {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.text.WriteString(line + "\n")
}

func (j *journal) String() string {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.text.String()
}

// serve starts the service on free ports, without limits and without an access log.
// Settings are NAME=value.
func serve(t *testing.T, settings []string, args ...string) *service {
	t.Helper()
	s := newService(t, settings, args...)
	s.start()
	return s
}

// newService is a service that is not started yet.
func newService(t *testing.T, settings []string, args ...string) *service {
	t.Helper()
	s := &service{t: t, program: binary, log: &journal{}, env: append([]string{"PATH=" + os.Getenv("PATH"), "COMMENSAL_PG_BINDIR=" + os.Getenv("COMMENSAL_PG_BINDIR"), "COMMENSAL_EXEMPT_LOOPBACK=true"}, settings...)}
	s.args = append([]string{"serve", "--addr", "127.0.0.1:0", "--metrics-addr", "127.0.0.1:0", "--key-rate-limit", "0", "--drain-delay", "0s"}, args...)
	t.Cleanup(func() {
		if s.process != nil {
			s.kill(syscall.SIGTERM)
		}
		if text := s.log.String(); strings.Contains(text, "DATA RACE") || strings.Contains(text, "panic") {
			t.Errorf("the service says:\n%s", text)
		}
	})
	return s
}

// start starts the process and waits until it says that it is ready.
func (s *service) start() {
	s.t.Helper()
	if err := s.begin(); err != nil {
		s.t.Fatalf("the service does not start: %v\n%s", err, s.log)
	}
}

func (s *service) begin() error {
	cmd := exec.Command(s.program, s.args...)
	cmd.Env = s.env
	stderr, err := cmd.StderrPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		return err
	}
	s.process, s.ended = cmd, make(chan struct{})
	ready := make(chan readyLine, 1)
	go s.listen(cmd, stderr, ready, s.ended)
	select {
	case r := <-ready:
		s.base.Store("http://" + r.Addr)
		s.metrics = "http://" + r.Metrics
		return nil
	case <-s.ended:
		return errors.New("it has ended")
	case <-time.After(patience):
		return errors.New("it never was ready")
	}
}

// readyLine is the line of the log that says where the service answers.
type readyLine struct{ Msg, Addr, Metrics string }

func (s *service) listen(cmd *exec.Cmd, stderr io.Reader, ready chan<- readyLine, ended chan<- struct{}) {
	defer close(ended)
	for lines := bufio.NewScanner(stderr); lines.Scan(); {
		var line readyLine
		if json.Unmarshal(lines.Bytes(), &line) == nil && line.Msg == "ready" {
			ready <- line
		}
		if !strings.Contains(lines.Text(), `"msg":"request"`) {
			s.log.add(lines.Text())
		}
	}
	_ = cmd.Wait() // how it ended stands in cmd.ProcessState
}

// url is where a path of the service is now.
func (s *service) url(path string) string { return s.base.Load().(string) + path }

// kill sends a signal to the process and waits for its end. One that has ended already is
// left alone.
func (s *service) kill(signal syscall.Signal) (status int) {
	s.t.Helper()
	select {
	case <-s.ended:
	default:
		_ = s.process.Process.Signal(signal) // it may be ending just now
	}
	select {
	case <-s.ended:
	case <-time.After(patience):
		s.t.Errorf("the service does not end:\n%s", s.log)
		_ = s.process.Process.Kill()
		<-s.ended
	}
	return s.process.ProcessState.ExitCode()
}

// run carries out another command of the program with the service's settings and returns
// what it prints.
func (s *service) run(args ...string) string {
	s.t.Helper()
	cmd := exec.Command(s.program, args...)
	cmd.Env = s.env
	var complaints strings.Builder
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil {
		s.t.Fatalf("commensal %s: %v\n%s", strings.Join(args, " "), err, &complaints)
	}
	return strings.TrimSpace(string(out))
}

// key makes a key of an organization.
func (s *service) key() string {
	s.t.Helper()
	return s.run("key", "create", "--organization", "Reef corner", "--scope", "tanks:read,tanks:write")
}
