// Package localpgtest helps tests that start a private PostgreSQL or a whole service.
package localpgtest

import (
	"errors"
	"os"
	"testing"
	"time"

	"commensal/internal/localpg"
)

// Eventually waits for a condition that becomes true in the background, a minute at most, and
// fails the test with what was waited for when it does not.
func Eventually(t *testing.T, what string, condition func() bool) {
	t.Helper()
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if condition() {
			return
		}
	}
	t.Fatalf("never came true: %s", what)
}

// PrivateFolder is a data directory that the private server's user can enter, which
// t.TempDir is not when root runs the tests. Where no PostgreSQL is installed the
// test fails, unless the databases come from elsewhere by somebody's decision.
func PrivateFolder(t *testing.T) string {
	t.Helper()
	_, err := localpg.FindBinaries(t.Context())
	var missing *localpg.NotFoundError
	if errors.As(err, &missing) {
		if way := os.Getenv("COMMENSAL_TEST_DB"); way == "url" || way == "container" {
			t.Skipf("COMMENSAL_TEST_DB=%s and no PostgreSQL binaries: the private server cannot be tested", way)
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	return Folder(t)
}

// Folder is a folder that the user of PostgreSQL can enter, which t.TempDir is not when root runs
// the tests. It goes with the test.
func Folder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "commensal-test-")
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
