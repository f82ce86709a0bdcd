//go:build unix

package localpg

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// pidFile is the file in the cluster by which PostgreSQL claims it.
const pidFile = "postmaster.pid"

// errStillRuns says that a server has not ended yet.
var errStillRuns = errors.New("it still runs")

// orphanPatience bounds the wait for a server that an earlier service left
// running to end. It may be in the middle of its own recovery.
const orphanPatience = 30 * time.Second

// clearOrphan deals with the postmaster.pid of an earlier server; unclean reports
// that there was one. The directory lock is held, so no living service owns the
// server: one still running is stopped. A pid that now belongs to some other
// program, as happens when a container starts anew and counts its processes from
// one, must not keep PostgreSQL from starting. The rest of the file stays: by it
// PostgreSQL itself makes sure that no old session is still at work.
func (s *Server) clearOrphan(ctx context.Context) (unclean bool, err error) {
	cluster, err := openWithin(s.dir, clusterName)
	if err != nil {
		return false, fmt.Errorf("localpg: %w", err)
	}
	defer cluster.Close()
	text, err := readOwn(cluster, pidFile)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, fmt.Errorf("localpg: %w", err)
	}
	first, rest, _ := bytes.Cut(text, []byte("\n"))
	pid, err := strconv.Atoi(strings.TrimSpace(string(first)))
	if err != nil || pid <= 1 {
		return true, nil // PostgreSQL judges, and says what is wrong with the file
	}
	if !alive(pid) {
		return true, nil
	}
	switch command := commandLine(ctx, pid); {
	case command == "": // cannot be told: PostgreSQL judges
	case s.isPostmaster(command) && s.id.runs(ctx, pid):
		return true, s.stopOrphan(ctx, pid)
	default:
		s.opts.Logger.Warn("the pid of an earlier server now belongs to another program", "pid", pid)
		return true, writeOver(cluster, rest)
	}
	return true, nil
}

// runs reports whether a process is of the identity's user, as far as that can be told: the number
// stands in a file that this user writes, and must not lead root to end somebody else's process.
func (id identity) runs(ctx context.Context, pid int) bool {
	if !id.switched {
		return true // an ordinary user can end no other user's processes anyway
	}
	if runtime.GOOS != "linux" {
		uid, err := output(ctx, "ps", "-o", "uid=", "-p", strconv.Itoa(pid))
		return err == nil && uid == strconv.Itoa(id.uid)
	}
	info, err := os.Stat(fmt.Sprintf("/proc/%d", pid))
	return err == nil && int(info.Sys().(*syscall.Stat_t).Uid) == id.uid
}

// isPostmaster recognises the command line with which [Server.launch] starts it.
func (s *Server) isPostmaster(command string) bool {
	return strings.Contains(command, "postgres") && strings.Contains(command, s.clusterDir())
}

// stopOrphan ends a server that has outlived its service.
func (s *Server) stopOrphan(ctx context.Context, pid int) error {
	s.opts.Logger.Warn("stopping a server that outlived its service", "pid", pid)
	if err := syscall.Kill(pid, syscall.SIGINT); err != nil && !errors.Is(err, syscall.ESRCH) {
		return fmt.Errorf("localpg: an earlier PostgreSQL (process %d) still runs on %s and cannot be stopped: %w", pid, s.clusterDir(), err)
	}
	ctx, cancel := context.WithTimeout(ctx, orphanPatience)
	defer cancel()
	err := poll(ctx, func() error {
		if alive(pid) {
			return errStillRuns
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("localpg: an earlier PostgreSQL (process %d) still runs on %s: stop it with kill -INT %d: %w", pid, s.clusterDir(), pid, err)
	}
	return nil
}

// writeOver puts this process's own pid in the first line of postmaster.pid:
// PostgreSQL never takes its parent for a rival, and still checks the rest.
func writeOver(cluster *os.Root, rest []byte) error {
	f, err := openOwn(cluster, pidFile, os.O_WRONLY, 0) // the file keeps its owner
	if err != nil {
		return fmt.Errorf("localpg: %w", err)
	}
	text := append([]byte(strconv.Itoa(os.Getpid())+"\n"), rest...)
	_, err = f.WriteAt(text, 0)
	if err == nil {
		err = f.Truncate(int64(len(text)))
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return fmt.Errorf("localpg: %w", err)
	}
	return nil
}

// readPidFile reads the file in which the server of a data directory says how it is reached.
func readPidFile(dataDir string) ([]byte, error) {
	path, err := filepath.EvalSymlinks(dataDir)
	if err != nil {
		return nil, err
	}
	root, err := openFolder(path)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	cluster, err := openWithin(root, clusterName)
	if err != nil {
		return nil, err
	}
	defer cluster.Close()
	return readOwn(cluster, pidFile)
}

// alive reports whether a process exists. One that has ended and only waits to
// be collected by its parent counts as gone on Linux, where that can be told.
func alive(pid int) bool {
	if err := syscall.Kill(pid, 0); errors.Is(err, syscall.ESRCH) {
		return false
	}
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return true
	}
	// "pid (name) state …": the name may hold anything, the state follows the last ")".
	after := stat[bytes.LastIndexByte(stat, ')')+1:]
	return !bytes.HasPrefix(bytes.TrimSpace(after), []byte("Z"))
}

// commandLine is the command line of a process, or "" when it cannot be told.
func commandLine(ctx context.Context, pid int) string {
	if runtime.GOOS == "linux" {
		text, err := os.ReadFile(fmt.Sprintf("/proc/%d/cmdline", pid))
		if err != nil {
			return ""
		}
		return string(bytes.ReplaceAll(text, []byte{0}, []byte{' '}))
	}
	ps, err := exec.LookPath("ps")
	if err != nil {
		return ""
	}
	out, err := output(ctx, ps, "-ww", "-o", "command=", "-p", strconv.Itoa(pid))
	if err != nil {
		return ""
	}
	return out
}
