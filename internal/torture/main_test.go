//go:build linux

package torture

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
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

// variable is the environment variable of a size.
func variable(name string) string { return os.Getenv("COMMENSAL_TORTURE_" + name) }

// size is a number that can be set from outside.
func size(t *testing.T, name string, usual int) int {
	t.Helper()
	text := variable(name)
	if text == "" {
		return usual
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		t.Fatalf("COMMENSAL_TORTURE_%s is %q: it is a number from 1", name, text)
	}
	return n
}

// span is a time that can be set from outside.
func span(t *testing.T, name string, usual time.Duration) time.Duration {
	t.Helper()
	text := variable(name)
	if text == "" {
		return usual
	}
	d, err := time.ParseDuration(text)
	if err != nil || d <= 0 {
		t.Fatalf("COMMENSAL_TORTURE_%s is %q: it is a time such as 60s", name, text)
	}
	return d
}

// strict reports whether promised times are asserted. On a machine that does other things
// too they are told only.
func strict() bool { return variable("STRICT") != "" }

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

// folder is a folder that the user of PostgreSQL can enter, which t.TempDir is not when
// root runs the tests.
func folder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "commensal-torture-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := os.RemoveAll(dir); err != nil {
			t.Error(err)
		}
	})
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	return dir
}
