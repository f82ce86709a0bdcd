//go:build unix

package localpg

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
)

// secret is what a file of somebody else's holds, which a start must neither change nor tell.
const secret = "not for the database's user\n"

// plant puts a thing in the way of a file of a data directory.
type plant func(t *testing.T, victim, path string)

func link(t *testing.T, victim, path string) {
	t.Helper()
	if err := os.Symlink(victim, path); err != nil {
		t.Fatal(err)
	}
}

func hardLink(t *testing.T, victim, path string) {
	t.Helper()
	if err := os.Link(victim, path); err != nil {
		t.Fatal(err)
	}
}

func pipe(t *testing.T, _, path string) {
	t.Helper()
	if err := syscall.Mkfifo(path, 0o666); err != nil {
		t.Fatal(err)
	}
}

// A folder that the database's user can write is one where that user puts what it likes: whatever
// it is, nobody else's file is written, told or waited for.
func TestNothingPlantedInTheFolderIsFollowed(t *testing.T) {
	for _, c := range []struct {
		name, file string
		plant      plant
	}{
		{"a link for the lock", "lock", link},
		{"a hard link for the lock", "lock", hardLink},
		{"a pipe for the lock", "lock", pipe},
		{"a link for the log", "postgres.log", link},
		{"a hard link for the log", "postgres.log", hardLink},
		{"a link for the version", "cluster/PG_VERSION", link},
		{"a hard link for the pid file", "cluster/postmaster.pid", hardLink},
		{"a link for the pid file", "cluster/postmaster.pid", link},
		{"a pipe for the pid file", "cluster/postmaster.pid", pipe},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir, victim := plantedDir(t)
			path := filepath.Join(dir, c.file)
			if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
				t.Fatal(err)
			}
			c.plant(t, victim, path)
			s, err := Start(testContext(t), Options{DataDir: dir, Throwaway: true})
			if err == nil {
				stop(t, s)
				t.Error("the server started")
			} else if strings.Contains(err.Error(), strings.TrimSpace(secret)) {
				t.Errorf("the error tells what stands in the file: %v", err)
			}
			if text, err := os.ReadFile(victim); err != nil || string(text) != secret {
				t.Errorf("the file of somebody else's now holds %q, %v", text, err)
			}
		})
	}
}

// plantedDir is a data directory from the time when it was given to the database's user, and a file
// elsewhere that is none of that user's business.
func plantedDir(t *testing.T) (dir, victim string) {
	t.Helper()
	dir = readyDir(t)
	if os.Geteuid() == 0 {
		info, err := os.Stat(filepath.Join(dir, "cluster"))
		if err != nil {
			t.Fatal(err)
		}
		owner := info.Sys().(*syscall.Stat_t)
		if err := os.Chown(dir, int(owner.Uid), int(owner.Gid)); err != nil {
			t.Fatal(err)
		}
	}
	victim = filepath.Join(testDir(t), "victim")
	if err := os.WriteFile(victim, []byte(secret), 0o600); err != nil {
		t.Fatal(err)
	}
	return dir, victim
}

func TestAFolderThatIsALinkIsNotTaken(t *testing.T) {
	for _, name := range []string{"cluster", "socket"} {
		t.Run(name, func(t *testing.T) {
			dir, _ := plantedDir(t)
			elsewhere := filepath.Join(testDir(t), name)
			if name == "cluster" {
				if err := os.Rename(filepath.Join(dir, name), elsewhere); err != nil {
					t.Fatal(err)
				}
			} else if err := os.Mkdir(elsewhere, 0o755); err != nil {
				t.Fatal(err)
			}
			before, err := os.Stat(elsewhere)
			if err != nil {
				t.Fatal(err)
			}
			link(t, elsewhere, filepath.Join(dir, name))
			if s, err := Start(testContext(t), Options{DataDir: dir, Throwaway: true}); err == nil {
				stop(t, s)
				t.Error("the server started")
			}
			after, err := os.Stat(elsewhere)
			if err != nil || after.Mode() != before.Mode() || after.Sys().(*syscall.Stat_t).Uid != before.Sys().(*syscall.Stat_t).Uid {
				t.Errorf("the folder elsewhere was changed: %v, %v", after, err)
			}
		})
	}
}

func TestRootKeepsTheFolderOfItsOwnFiles(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root has the server run as somebody else")
	}
	dir := filepath.Join(testDir(t), "new")
	s := start(t, Options{DataDir: dir, Throwaway: true})
	for _, name := range []string{".", "lock", "postgres.log"} {
		info, err := os.Stat(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		if owner := info.Sys().(*syscall.Stat_t).Uid; owner != 0 || info.Mode().Perm()&0o022 != 0 {
			t.Errorf("%s has mode %v and belongs to user id %d", name, info.Mode(), owner)
		}
	}
	for _, name := range []string{"cluster", "socket"} {
		info, err := os.Stat(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		if owner := int(info.Sys().(*syscall.Stat_t).Uid); owner != s.id.uid || info.Mode().Perm() != 0o700 {
			t.Errorf("%s has mode %v and belongs to user id %d", name, info.Mode(), owner)
		}
	}
}

// The pid file is written by the database's user, so the number in it may be any process's.
func TestAProcessOfAnotherUserIsNotEndedForItsNumber(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root can end the processes of others")
	}
	dir := readyDir(t)
	other := exec.Command("sleep", "60")
	other.Args[0] = "postgres -D " + filepath.Join(dir, "cluster")
	if err := other.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() {
		_ = other.Process.Kill()
		_ = other.Wait()
	}()
	pid := filepath.Join(dir, "cluster", pidFile)
	if err := os.WriteFile(pid, []byte(strconv.Itoa(other.Process.Pid)+"\n"+dir+"/cluster\n1\n5432\n"+dir+"/socket\n\n0 0\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(filepath.Join(dir, "cluster"))
	if err != nil {
		t.Fatal(err)
	}
	owner := info.Sys().(*syscall.Stat_t)
	if err := os.Chown(pid, int(owner.Uid), int(owner.Gid)); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(commandLine(t.Context(), other.Process.Pid), "postgres -D "+dir) {
		t.Fatal("the process does not look like a postmaster, and the test would show nothing")
	}
	start(t, Options{DataDir: dir, Throwaway: true})
	if !alive(other.Process.Pid) {
		t.Error("the process was ended")
	}
}
