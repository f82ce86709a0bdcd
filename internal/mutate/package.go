package mutate

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
)

// Package is a Go package whose tests are asked.
type Package struct {
	ImportPath                string
	Dir                       string
	GoFiles                   []string
	TestGoFiles, XTestGoFiles []string
}

// Tested reports whether the package has tests of its own.
func (p Package) Tested() bool { return len(p.TestGoFiles)+len(p.XTestGoFiles) > 0 }

// Packages lists the packages that patterns of the go tool name.
func Packages(ctx context.Context, dir string, patterns ...string) (list []Package, err error) {
	cmd := exec.CommandContext(ctx, "go", append([]string{"list", "-json=ImportPath,Dir,GoFiles,TestGoFiles,XTestGoFiles"}, patterns...)...)
	cmd.Dir, cmd.Stderr = dir, os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("mutate: go list %v: %w", patterns, err)
	}
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p Package
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return list, nil
		} else if err != nil {
			return nil, fmt.Errorf("mutate: go list: %w", err)
		}
		list = append(list, p)
	}
}

// Mutants lists the mutants of all files of the package but its tests.
func (p Package) Mutants(kinds Kinds) (all []Mutant, err error) {
	for _, name := range p.GoFiles {
		file := filepath.Join(p.Dir, name)
		source, err := os.ReadFile(file)
		if err != nil {
			return nil, fmt.Errorf("mutate: %w", err)
		}
		found, err := Find(file, source, kinds)
		if err != nil {
			return nil, err
		}
		all = append(all, found...)
	}
	return all, nil
}
