//go:build unix

package localpg

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/user"
	"path/filepath"
	"strconv"
	"syscall"
)

// identity is the user the server runs as. PostgreSQL refuses to run as root, so
// root becomes another user.
type identity struct {
	name     string
	uid, gid int
	switched bool // not the user of this process
}

// chooseIdentity keeps an ordinary user. Root takes the owner of an existing
// cluster, else the user postgres, else nobody.
func chooseIdentity(root *os.Root) (identity, error) {
	owner, exists, err := ownerOf(root, clusterName)
	if err != nil {
		return identity{}, err
	}
	if self := os.Geteuid(); self != 0 {
		if exists && owner.uid != self {
			return identity{}, &OwnerError{Dir: filepath.Join(root.Name(), clusterName), Owner: owner.uid, Self: self}
		}
		return identity{name: "user id " + strconv.Itoa(self), uid: self, gid: os.Getegid()}, nil
	}
	if exists && owner.uid != 0 {
		return owner, nil
	}
	for _, name := range []string{"postgres", "nobody"} {
		if id, err := lookup(name); err == nil {
			return id, nil
		}
	}
	return identity{}, errors.New("localpg: PostgreSQL refuses to run as root, and there is neither a user postgres nor nobody: create one, or run as an ordinary user")
}

func lookup(name string) (identity, error) {
	u, err := user.Lookup(name)
	if err != nil {
		return identity{}, err
	}
	uid, err := strconv.Atoi(u.Uid)
	if err != nil {
		return identity{}, err
	}
	gid, err := strconv.Atoi(u.Gid)
	return identity{name: name, uid: uid, gid: gid, switched: true}, err
}

func ownerOf(root *os.Root, name string) (owner identity, exists bool, err error) {
	info, err := root.Lstat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return identity{}, false, nil
	}
	if err != nil {
		return identity{}, false, fmt.Errorf("localpg: %w", err)
	}
	st := info.Sys().(*syscall.Stat_t)
	who := strconv.Itoa(int(st.Uid))
	if u, err := user.LookupId(who); err == nil {
		who = u.Username
	}
	return identity{name: who, uid: int(st.Uid), gid: int(st.Gid), switched: true}, true, nil
}

// credential is nil when the server runs as the user of this process.
func (id identity) credential() *syscall.Credential {
	if !id.switched {
		return nil
	}
	return &syscall.Credential{Uid: uint32(id.uid), Gid: uint32(id.gid)}
}

// checkReach returns an [UnreachableError] for the first folder on the way to
// target, itself included, that the identity may not enter. An ordinary user
// needs no check: the system's own error names the folder.
func (id identity) checkReach(target string) error {
	if !id.switched {
		return nil
	}
	resolved, err := filepath.EvalSymlinks(target)
	if err != nil {
		return fmt.Errorf("localpg: %w", err)
	}
	for dir := resolved; ; dir = filepath.Dir(dir) {
		info, err := os.Stat(dir)
		if err != nil {
			return fmt.Errorf("localpg: %w", err)
		}
		if !id.mayEnter(info) {
			return &UnreachableError{Folder: dir, Mode: info.Mode().Perm(), User: id.name, Target: target}
		}
		if dir == filepath.Dir(dir) {
			return nil
		}
	}
}

func (id identity) mayEnter(info fs.FileInfo) bool {
	st := info.Sys().(*syscall.Stat_t)
	switch {
	case int(st.Uid) == id.uid:
		return info.Mode()&0o100 != 0
	case int(st.Gid) == id.gid:
		return info.Mode()&0o010 != 0
	}
	return info.Mode()&0o001 != 0
}
