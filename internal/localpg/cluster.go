//go:build unix

package localpg

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
)

// Superuser and Database are the fixed names in the private server. Access is by
// the socket folder's permissions, so neither needs a secret.
const (
	Superuser = "commensal"
	Database  = "commensal"
)

// newClusterPrefix begins the name of a cluster that initdb has not finished.
const newClusterPrefix = "cluster.new-"

// clusterVersion is the major version that made the cluster, or "" when there is
// no cluster yet.
func clusterVersion(clusterDir string) (string, error) {
	text, err := os.ReadFile(filepath.Join(clusterDir, "PG_VERSION"))
	if errors.Is(err, fs.ErrNotExist) {
		if _, statErr := os.Stat(clusterDir); statErr == nil {
			return "", fmt.Errorf("localpg: %s exists but holds no PG_VERSION, so it is not a whole cluster: restore it from a copy, or move it away to begin anew", clusterDir)
		}
		return "", nil
	}
	if err != nil {
		return "", fmt.Errorf("localpg: %w", err)
	}
	return strings.TrimSpace(string(text)), nil
}

// createCluster runs initdb under a temporary name and renames the result, so
// that a cluster is whole or absent. What an interrupted first start left behind
// is removed. The caller holds the directory lock.
func (s *Server) createCluster(ctx context.Context) error {
	leftovers, _ := filepath.Glob(filepath.Join(escapeGlob(s.opts.DataDir), newClusterPrefix+"*")) // the pattern is escaped
	for _, dir := range leftovers {
		// A failure to remove it costs space, nothing else.
		s.opts.Logger.Warn("removing an unfinished cluster", "dir", dir, "error", os.RemoveAll(dir))
	}
	dir, err := os.MkdirTemp(s.opts.DataDir, newClusterPrefix)
	if err != nil {
		return fmt.Errorf("localpg: %w", err)
	}
	if err := s.id.chown(dir); err != nil {
		return fmt.Errorf("localpg: %w", err)
	}
	if err := s.initdb(ctx, dir); err != nil {
		return errors.Join(err, os.RemoveAll(dir))
	}
	if err := os.Rename(dir, s.clusterDir()); err != nil {
		return fmt.Errorf("localpg: %w", err)
	}
	return syncDir(s.opts.DataDir)
}

// initdb fills dir. The C locale sorts by code point on every system, so that
// moving the files to another machine cannot corrupt an index.
func (s *Server) initdb(ctx context.Context, dir string) error {
	args := []string{"-D", dir, "-U", Superuser, "--encoding=UTF8", "--no-locale", "--auth-local=trust", "--auth-host=reject", "--no-instructions"}
	if s.opts.Throwaway {
		args = append(args, "--no-sync")
	}
	cmd := exec.CommandContext(ctx, s.bin.path("initdb"), args...)
	s.prepare(cmd)
	// The whole group: initdb runs a postgres of its own.
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
	runtime.LockOSThread() // see setDeathSignal
	defer runtime.UnlockOSThread()
	if err := cmd.Run(); err != nil {
		if ctx.Err() != nil {
			err = ctx.Err()
		}
		return s.startError("initdb", err)
	}
	return nil
}

// prepare gives a child its user, a process group of its own (so that Ctrl-C in a
// terminal reaches the service alone), the log, a folder it may enter, and an
// environment without the caller's PG* variables and language.
func (s *Server) prepare(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: s.id.credential(), Setpgid: true}
	setDeathSignal(cmd.SysProcAttr)
	cmd.Dir = "/"
	cmd.Stdout, cmd.Stderr = s.log.file, s.log.file
	for _, v := range os.Environ() {
		if !strings.HasPrefix(v, "PG") && !strings.HasPrefix(v, "LC_") && !strings.HasPrefix(v, "LANG") {
			cmd.Env = append(cmd.Env, v)
		}
	}
	cmd.Env = append(cmd.Env, "LC_ALL=C")
}

func escapeGlob(path string) string {
	return strings.NewReplacer(`\`, `\\`, `*`, `\*`, `?`, `\?`, `[`, `\[`).Replace(path)
}

// syncDir makes a rename in dir durable.
func syncDir(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return fmt.Errorf("localpg: %w", err)
	}
	defer f.Close()
	if err := f.Sync(); err != nil {
		return fmt.Errorf("localpg: %w", err)
	}
	return nil
}
