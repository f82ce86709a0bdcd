//go:build unix

package localpg

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"time"
)

// throwawaySettings make a server fast and its data worthless after a crash.
var throwawaySettings = map[string]string{
	"fsync": "off", "synchronous_commit": "off", "full_page_writes": "off",
	"wal_level": "minimal", "max_wal_senders": "0", "autovacuum": "off",
}

// settings are the server's command line settings, in a stable order. The
// just-in-time compiler is off: the service's queries are far too short to gain.
func (s *Server) settings() []string {
	all := map[string]string{
		"listen_addresses":        "",
		"port":                    "5432",
		"unix_socket_directories": `"` + strings.ReplaceAll(s.socket, `"`, `""`) + `"`,
		"unix_socket_permissions": "0700",
		"logging_collector":       "off",
		"log_destination":         "stderr",
		"jit":                     "off",
	}
	if s.opts.Throwaway {
		for name, value := range throwawaySettings {
			all[name] = value
		}
	}
	for name, value := range s.opts.Settings {
		all[name] = value
	}
	args := make([]string, 0, len(all))
	for name, value := range all {
		args = append(args, "--"+name+"="+value)
	}
	slices.Sort(args)
	return args
}

// process is a running postmaster.
type process struct {
	cmd  *exec.Cmd
	done chan struct{} // closed when it has ended
}

// launch starts the postmaster. Its goroutine keeps the thread that started it
// until it ends; see [setDeathSignal].
func (s *Server) launch() (*process, error) {
	cmd := exec.Command(s.bin.path("postgres"), append([]string{"-D", s.clusterDir()}, s.settings()...)...)
	s.prepare(cmd)
	p := &process{cmd: cmd, done: make(chan struct{})}
	started := make(chan error, 1)
	go func() {
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		if err := cmd.Start(); err != nil {
			started <- err
			return
		}
		started <- nil
		_ = cmd.Wait() // how it ended stands in cmd.ProcessState
		close(p.done)
	}()
	if err := <-started; err != nil {
		return nil, s.startError("postgres", err)
	}
	return p, nil
}

// ended reports whether the process is over.
func (p *process) ended() bool {
	select {
	case <-p.done:
		return true
	default:
		return false
	}
}

// stop ends the postmaster: first the fast way, which closes the sessions and
// writes a checkpoint, then, when ctx is over, the immediate one, then by force.
func (p *process) stop(ctx context.Context) error {
	steps := []struct {
		signal syscall.Signal
		wait   context.Context
	}{{syscall.SIGINT, ctx}, {syscall.SIGQUIT, nil}, {syscall.SIGKILL, nil}}
	for _, step := range steps {
		if p.ended() {
			return nil
		}
		if err := p.cmd.Process.Signal(step.signal); err != nil && !p.ended() {
			return fmt.Errorf("localpg: stop: %w", err)
		}
		wait, cancel := step.wait, context.CancelFunc(func() {})
		if wait == nil {
			wait, cancel = context.WithTimeout(context.Background(), 5*time.Second)
		}
		select {
		case <-p.done:
			cancel()
			return nil
		case <-wait.Done():
			cancel()
		}
	}
	return errors.New("localpg: stop: PostgreSQL does not end")
}

func (s *Server) clusterDir() string { return filepath.Join(s.opts.DataDir, clusterName) }
