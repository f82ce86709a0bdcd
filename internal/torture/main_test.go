//go:build linux

package torture

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// binary is the program under test.
var binary string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "commensal-torture-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	binary = filepath.Join(dir, "commensal")
	code := 1
	if out, err := exec.Command("go", "build", buildFlag, "-o", binary, "commensal/cmd/commensal").CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "the program cannot be built: %v\n%s", err, out)
	} else {
		code = m.Run()
	}
	if err := os.RemoveAll(dir); err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

// patience bounds what has to come true in the end. It is no promise of anything.
const patience = 2 * time.Minute

// eventually waits for a condition that becomes true in the background.
func eventually(t *testing.T, what string, condition func() bool) {
	t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		if condition() {
			return
		}
	}
	t.Fatalf("never came true: %s", what)
}
