//go:build unix

package localpg

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// dirLock is the claim on a data directory. The kernel drops it with the
// process, however that ends, so a lock can never be stale.
type dirLock struct{ file *os.File }

// lockDir claims the data directory or returns an [InUseError]. Two claims in one
// process exclude each other too.
func lockDir(root *os.Root) (*dirLock, error) {
	f, err := openOwn(root, "lock", os.O_CREATE|os.O_RDWR, 0o644)
	if err != nil {
		return nil, fmt.Errorf("localpg: lock: %w", err)
	}
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		defer f.Close()
		return nil, &InUseError{Dir: root.Name(), PID: holder(f)}
	}
	if err == nil {
		err = writePID(f)
	}
	if err != nil {
		f.Close()
		return nil, fmt.Errorf("localpg: lock %s: %w", f.Name(), err)
	}
	return &dirLock{f}, nil
}

func writePID(f *os.File) error {
	if err := f.Truncate(0); err != nil {
		return err
	}
	_, err := f.WriteAt([]byte(strconv.Itoa(os.Getpid())+"\n"), 0)
	return err
}

// holder reads the pid of the lock's owner. It waits a little for an owner that
// has the lock and is about to write.
func holder(f *os.File) int {
	for range 20 {
		text, err := io.ReadAll(io.NewSectionReader(f, 0, 32))
		if pid, convErr := strconv.Atoi(strings.TrimSpace(string(text))); err == nil && convErr == nil {
			return pid
		}
		time.Sleep(5 * time.Millisecond)
	}
	return 0
}

func (l *dirLock) release() error { return l.file.Close() }
