//go:build unix

package localpg

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// maxPidFile is more bytes than a pid file of PostgreSQL or its version file ever has.
const maxPidFile = 8 << 10

// Where root runs the service, the database's user may be able to write in a folder in which root
// opens files: the cluster always, and the data directory where an older program gave it away. A link
// planted there must not lead root to a file of somebody else's. So everything inside is opened from a
// folder held open, and only if it is a plain file under that very name.

// openFolder holds a folder open. The folder itself must not be a link.
func openFolder(path string) (*os.Root, error) {
	root, err := os.OpenRoot(path)
	if err != nil {
		return nil, err
	}
	if err := sameFolder(root, func() (fs.FileInfo, error) { return os.Lstat(path) }); err != nil {
		return nil, errors.Join(err, root.Close())
	}
	return root, nil
}

// openWithin holds a folder open that lies in another. It must not be a link.
func openWithin(root *os.Root, name string) (*os.Root, error) {
	inner, err := root.OpenRoot(name)
	if err != nil {
		return nil, err
	}
	if err := sameFolder(inner, func() (fs.FileInfo, error) { return root.Lstat(name) }); err != nil {
		return nil, errors.Join(err, inner.Close())
	}
	return inner, nil
}

// sameFolder refuses a folder that was reached through a link: its name then means something else.
func sameFolder(opened *os.Root, named func() (fs.FileInfo, error)) error {
	info, err := opened.Stat(".")
	if err != nil {
		return err
	}
	there, err := named()
	if err != nil {
		return err
	}
	if !os.SameFile(info, there) {
		return fmt.Errorf("%s is a link, and links are not followed here: put the folder in its place, or name another data directory", opened.Name())
	}
	return nil
}

// openOwn opens a file in a folder, or makes it where flag says so. It is refused unless it is a plain
// file, by no other name anywhere, of this process's user or of the folder's owner.
func openOwn(root *os.Root, name string, flag int, perm fs.FileMode) (*os.File, error) {
	// Without waiting: the other end of a pipe may never come.
	f, err := root.OpenFile(name, flag|syscall.O_NOFOLLOW|syscall.O_NONBLOCK, perm)
	if err != nil {
		return nil, err
	}
	if err := checkOwn(root, name, f); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}

func checkOwn(root *os.Root, name string, f *os.File) error {
	info, err := f.Stat()
	if err != nil {
		return err
	}
	there, err := root.Lstat(name)
	if err != nil {
		return err
	}
	folder, err := root.Stat(".")
	if err != nil {
		return err
	}
	file, owner := info.Sys().(*syscall.Stat_t), folder.Sys().(*syscall.Stat_t).Uid
	if !info.Mode().IsRegular() || !os.SameFile(info, there) || file.Nlink != 1 ||
		int(file.Uid) != os.Geteuid() && file.Uid != owner {
		return fmt.Errorf("%s is a link, not a plain file, or somebody else's: remove it", filepath.Join(root.Name(), name))
	}
	return nil
}

// readOwn reads a small file that [openOwn] opens.
func readOwn(root *os.Root, name string) ([]byte, error) {
	f, err := openOwn(root, name, os.O_RDONLY, 0)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, maxPidFile))
}
