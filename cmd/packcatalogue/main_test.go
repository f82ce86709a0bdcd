package main

import (
	"os"
	"path/filepath"
	"testing"
)

func TestAnEditionIsNumberedOnce(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "edition")
	for _, step := range []struct{ hash, want string }{
		{"aa", "1 aa\n"}, {"aa", "1 aa\n"}, {"bb", "2 bb\n"}, {"bb", "2 bb\n"}, {"aa", "3 aa\n"},
	} {
		if err := number(file, step.hash); err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(file); err != nil || string(got) != step.want {
			t.Errorf("after %s the file holds %q (%v), want %q", step.hash, got, err, step.want)
		}
	}
}

func TestAFileThatWasMadeByHandIsNotCountedOn(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "edition")
	if err := os.WriteFile(file, []byte("<<<<<<< HEAD\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := number(file, "aa"); err == nil {
		t.Error("a merge conflict passes for a number")
	}
}
