//go:build unix

package localpg

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// As root the tests above run the server as another user; this runs the same
// ones again as an ordinary user. When they already run as one, it says that
// the process really kept its user.
func TestAnOrdinaryUserRunsTheServerAsItself(t *testing.T) {
	if os.Geteuid() != 0 {
		s := start(t, Options{DataDir: testDir(t), Throwaway: true})
		if s.id.switched || s.id.uid != os.Geteuid() {
			t.Errorf("the server runs as %+v", s.id)
		}
		return
	}
	nobody, err := lookup("nobody")
	if err != nil {
		t.Fatal(err)
	}
	dir := testDir(t)
	binary := filepath.Join(dir, "localpg.test")
	copyProgram(t, os.Args[0], binary)
	if err := os.Chmod(dir, 0o777); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(binary, "-test.run", "TestAFirstStart|TestACommittedRow|TestAnOrdinaryUser", "-test.v")
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "HOME="+dir, "TMPDIR="+dir)
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: nobody.credential()}
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("as nobody: %v\n%s", err, out)
	}
	if n := strings.Count(string(out), "--- PASS"); n != 4 {
		t.Errorf("as nobody %d tests passed, want 4\n%s", n, out)
	}
}

func copyProgram(t *testing.T, from, to string) {
	t.Helper()
	src, err := os.Open(from)
	if err != nil {
		t.Fatal(err)
	}
	defer src.Close()
	dst, err := os.OpenFile(to, os.O_CREATE|os.O_WRONLY, 0o755)
	if err != nil {
		t.Fatal(err)
	}
	_, err = io.Copy(dst, src)
	if closeErr := dst.Close(); err != nil || closeErr != nil {
		t.Fatal(err, closeErr)
	}
}
