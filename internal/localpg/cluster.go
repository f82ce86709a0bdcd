//go:build unix

package localpg

import (
	"context"
	"crypto/rand"
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

// newClusterPrefix begins the name of a cluster that initdb has not finished.
const newClusterPrefix = "cluster.new-"

// clusterVersion is the major version that made the cluster, or "" when there is
// no cluster yet.
func clusterVersion(root *os.Root) (string, error) {
	cluster, err := openWithin(root, clusterName)
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if err != nil {
		return "", fmt.Errorf("localpg: %w", err)
	}
	defer cluster.Close()
	text, err := readOwn(cluster, "PG_VERSION")
	if errors.Is(err, fs.ErrNotExist) {
		return "", fmt.Errorf("localpg: %s exists but holds no PG_VERSION, so it is not a whole cluster: restore it from a copy, or move it away to begin anew", cluster.Name())
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
	if err := s.clearUnfinished(); err != nil {
		return fmt.Errorf("localpg: %w", err)
	}
	name := newClusterPrefix + rand.Text()
	if err := s.dir.Mkdir(name, 0o700); err != nil {
		return fmt.Errorf("localpg: %w", err)
	}
	if s.id.switched {
		if err := s.dir.Lchown(name, s.id.uid, s.id.gid); err != nil {
			return fmt.Errorf("localpg: %w", err)
		}
	}
	if err := s.initdb(ctx, filepath.Join(s.opts.DataDir, name)); err != nil {
		return errors.Join(err, s.dir.RemoveAll(name))
	}
	if err := s.dir.Rename(name, clusterName); err != nil {
		return fmt.Errorf("localpg: %w", err)
	}
	return syncDir(s.opts.DataDir)
}

// clearUnfinished removes what interrupted first starts left behind.
func (s *Server) clearUnfinished() error {
	entries, err := fs.ReadDir(s.dir.FS(), ".")
	if err != nil {
		return err
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), newClusterPrefix) {
			// A failure to remove it costs space, nothing else.
			s.opts.Logger.Warn("removing an unfinished cluster", "name", e.Name(), "error", s.dir.RemoveAll(e.Name()))
		}
	}
	return nil
}

// initdb fills dir. The C locale sorts by code point on every system, so that
// moving the files to another machine cannot corrupt an index.
func (s *Server) initdb(ctx context.Context, dir string) error {
	args := []string{"-D", dir, "-U", Owner, "--encoding=UTF8", "--no-locale", "--auth-local=trust", "--auth-host=reject", "--no-instructions"}
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
