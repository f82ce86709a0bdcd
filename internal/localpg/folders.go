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
	"slices"
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

// openDataDir creates the folder or takes an existing one, holds it open, and returns
// its one true path too: a server that outlived its service is recognised by it.
func openDataDir(dir string) (path string, root *os.Root, err error) {
	// Folders above it stay open enough to be passed through.
	if err := os.MkdirAll(filepath.Dir(dir), 0o755); err != nil {
		return "", nil, fmt.Errorf("localpg: data directory: %w", err)
	}
	if err := os.Mkdir(dir, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return "", nil, fmt.Errorf("localpg: data directory: %w", err)
	}
	if path, err = filepath.EvalSymlinks(dir); err != nil {
		return "", nil, fmt.Errorf("localpg: data directory: %w", err)
	}
	if root, err = openFolder(path); err != nil {
		return "", nil, fmt.Errorf("localpg: data directory: %w", err)
	}
	return path, root, nil
}

// openThrough lets the server's own user pass through the data directory to its cluster, but only
// while the directory holds nothing except what this package puts there: a folder that somebody uses
// for other things stays as it is, and must then be open enough. The directory itself is never given
// away: root's own files lie in it.
func openThrough(dir string, root *os.Root, id identity) error {
	if !id.switched {
		return nil
	}
	folder, err := root.Open(".")
	if err != nil {
		return fmt.Errorf("localpg: data directory: %w", err)
	}
	defer folder.Close()
	names, err := folder.Readdirnames(-1)
	if err != nil {
		return fmt.Errorf("localpg: data directory: %w", err)
	}
	if info, err := folder.Stat(); err == nil && !id.mayEnter(info) && !slices.ContainsFunc(names, foreign) {
		if err := folder.Chmod(info.Mode().Perm() | 0o011); err != nil {
			return fmt.Errorf("localpg: data directory: %w", err)
		}
	}
	return id.checkReach(dir)
}

// foreign reports a file in the data directory that this package did not put there.
func foreign(name string) bool { return !ours(name) }

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
	folder, err := os.OpenFile(dir, os.O_RDONLY|syscall.O_DIRECTORY|syscall.O_NOFOLLOW, 0)
	if err != nil {
		return fmt.Errorf("localpg: socket folder %s is not a folder: remove it: %w", dir, err)
	}
	defer folder.Close()
	if err := takeOver(folder, id); err != nil {
		return fmt.Errorf("localpg: socket folder: %w", err)
	}
	return id.checkReach(dir)
}

// takeOver makes a folder that is held open the identity's alone.
func takeOver(folder *os.File, id identity) error {
	info, err := folder.Stat()
	if err != nil {
		return err
	}
	if owner := int(info.Sys().(*syscall.Stat_t).Uid); owner != id.uid && owner != os.Geteuid() {
		return fmt.Errorf("%s is not a folder of user id %d: remove it", folder.Name(), id.uid)
	}
	if id.switched {
		if err := folder.Chown(id.uid, id.gid); err != nil {
			return err
		}
	}
	return folder.Chmod(0o700)
}

// clearSocket removes what an unclean end left in the socket folder. Only the
// holder of the directory lock may call it, with no server running.
func clearSocket(dir string) error {
	root, err := openFolder(dir)
	if err != nil {
		return fmt.Errorf("localpg: socket folder: %w", err)
	}
	defer root.Close()
	for _, name := range []string{socketName, socketName + ".lock"} {
		if err := root.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("localpg: socket folder: %w", err)
		}
	}
	return nil
}
