//go:build unix

package localpg

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
)

// socketName is the file PostgreSQL makes for port 5432, the number being a mere
// name here.
const socketName = ".s.PGSQL.5432"

// maxSocketPath is the longest path a unix socket can have, in bytes: sun_path
// less its final zero.
func maxSocketPath() int {
	if runtime.GOOS == "linux" {
		return 107
	}
	return 103 // macOS and the BSDs
}

// prepareDataDir creates the folder or checks an existing one, and returns its one
// true path: a server that outlived its service is recognised by it. A new or
// empty folder is given to the identity later; see handOver.
func prepareDataDir(dir string) (string, error) {
	// Folders above it stay open enough to be passed through.
	if err := os.MkdirAll(filepath.Dir(dir), 0o755); err != nil {
		return "", fmt.Errorf("localpg: data directory: %w", err)
	}
	if err := os.Mkdir(dir, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return "", fmt.Errorf("localpg: data directory: %w", err)
	}
	resolved, err := filepath.EvalSymlinks(dir)
	if err != nil {
		return "", fmt.Errorf("localpg: data directory: %w", err)
	}
	info, err := os.Stat(resolved)
	if err != nil {
		return "", fmt.Errorf("localpg: data directory: %w", err)
	}
	if !info.IsDir() {
		return "", fmt.Errorf("localpg: data directory %s is not a folder", dir)
	}
	return resolved, nil
}

// handOver makes the data directory the identity's, but only while it holds
// nothing except what this package puts there: a folder somebody uses for other
// things keeps its owner, and must then be open enough.
func handOver(dir string, id identity) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return fmt.Errorf("localpg: data directory: %w", err)
	}
	for _, e := range entries {
		if !ours(e.Name()) {
			return id.checkReach(dir)
		}
	}
	if err := id.chown(dir); err != nil {
		return fmt.Errorf("localpg: data directory: %w", err)
	}
	return id.checkReach(dir)
}

func ours(name string) bool {
	switch name {
	case "lock", "cluster", "socket", "postgres.log", "postgres.log.1":
		return true
	}
	return strings.HasPrefix(name, newClusterPrefix)
}

// socketDir makes the folder of the socket: inside the data directory, or under
// the folder for temporary files when that path would be too long or could not be
// written in a connection string. It belongs to the identity and lets nobody else
// in.
func socketDir(dataDir string, id identity) (string, error) {
	sum := sha256.Sum256([]byte(dataDir))
	short := "commensal-" + hex.EncodeToString(sum[:8])
	for _, dir := range []string{filepath.Join(dataDir, "socket"), filepath.Join(os.TempDir(), short), filepath.Join("/tmp", short)} {
		// In a connection string a comma separates hosts.
		if len(filepath.Join(dir, socketName)) <= maxSocketPath() && !strings.Contains(dir, ",") {
			return dir, makePrivate(dir, id)
		}
	}
	return "", fmt.Errorf("localpg: no folder whose path suits a unix socket (%d bytes, no comma)", maxSocketPath())
}

// makePrivate creates dir for the identity alone. A folder that is already there
// must be a real one of the identity's or of this process: under a shared
// temporary folder anybody could have put it there.
func makePrivate(dir string, id identity) error {
	err := os.Mkdir(dir, 0o700)
	if err != nil && !errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("localpg: socket folder: %w", err)
	}
	info, err := os.Lstat(dir)
	if err != nil {
		return fmt.Errorf("localpg: socket folder: %w", err)
	}
	owner := int(info.Sys().(*syscall.Stat_t).Uid)
	if !info.IsDir() || (owner != id.uid && owner != os.Geteuid()) {
		return fmt.Errorf("localpg: socket folder %s is not a folder of user id %d: remove it", dir, id.uid)
	}
	if err := id.chown(dir); err != nil {
		return fmt.Errorf("localpg: socket folder: %w", err)
	}
	if err := os.Chmod(dir, 0o700); err != nil {
		return fmt.Errorf("localpg: socket folder: %w", err)
	}
	return id.checkReach(dir)
}

// clearSocket removes what an unclean end left in the socket folder. Only the
// holder of the directory lock may call it, with no server running.
func clearSocket(dir string) error {
	for _, name := range []string{socketName, socketName + ".lock"} {
		if err := os.Remove(filepath.Join(dir, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("localpg: socket folder: %w", err)
		}
	}
	return nil
}
