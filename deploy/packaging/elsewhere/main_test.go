package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestAFileThatOneSystemLacksIsNoticed(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"go.mod":       "module example\n\ngo 1.26\n",
		"main.go":      "package main\n\nfunc main() { lock() }\n",
		"lock_unix.go": "//go:build unix\n\npackage main\n\nimport \"syscall\"\n\nfunc lock() { _ = syscall.Flock(0, syscall.LOCK_EX) }\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for target, want := range map[string]string{"linux/amd64": "", "darwin/arm64": "", "windows/amd64": "undefined: lock"} {
		faults, err := check(dir, ".", target)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(faults, "; "); want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("%s: %q, not %q", target, got, want)
		}
	}
	if _, err := check(dir, ".", "windows"); err == nil {
		t.Error("a system without its processor is taken")
	}
}
