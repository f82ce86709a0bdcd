package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// packed packs a program and a text, made anew, and returns the archive.
func packed(t *testing.T, kind string) []byte {
	t.Helper()
	dir := t.TempDir()
	program, text, out := filepath.Join(dir, "program"), filepath.Join(dir, "LICENSE"), filepath.Join(dir, "x"+kind)
	for name, mode := range map[string]os.FileMode{program: 0o700, text: 0o600} {
		if err := os.WriteFile(name, []byte(filepath.Base(name)), mode); err != nil {
			t.Fatal(err)
		}
	}
	if err := pack(out, "folder", time.Unix(1_700_000_000, 0).UTC(), []string{program, text}); err != nil {
		t.Fatal(err)
	}
	content, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return content
}

var want = []string{"folder/program 755 program", "folder/LICENSE 644 LICENSE"}

func TestATarHoldsTheFiles(t *testing.T) {
	r, err := gzip.NewReader(bytes.NewReader(packed(t, ".tar.gz")))
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for files := tar.NewReader(r); ; {
		h, err := files.Next()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		content, err := io.ReadAll(files)
		if err != nil {
			t.Fatal(err)
		}
		found = append(found, fmt.Sprintf("%s %o %s", h.Name, h.Mode, content))
	}
	if !slices.Equal(found, want) {
		t.Errorf("the archive holds %q", found)
	}
}

func TestAZipHoldsTheFiles(t *testing.T) {
	content := packed(t, ".zip")
	r, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, f := range r.File {
		in, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		found = append(found, fmt.Sprintf("%s %o %s", f.Name, f.Mode().Perm(), text))
	}
	if !slices.Equal(found, want) {
		t.Errorf("the archive holds %q", found)
	}
}

func TestTheSameFilesGiveTheSameBytes(t *testing.T) {
	for _, kind := range []string{".tar.gz", ".zip"} {
		if !bytes.Equal(packed(t, kind), packed(t, kind)) {
			t.Errorf("two archives %s differ", kind)
		}
	}
}

func TestAnotherKindIsRefused(t *testing.T) {
	if err := pack(filepath.Join(t.TempDir(), "x.rar"), "folder", time.Time{}, []string{"main.go"}); err == nil {
		t.Error("an archive of an unknown kind was made")
	}
}
