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
	"slices"
)

// Package is a Go package whose tests are asked.
type Package struct {
	ImportPath                string
	Name                      string
	Dir                       string
	GoFiles                   []string
	TestGoFiles, XTestGoFiles []string
	TestImports, XTestImports []string
	quiet                     []string // arguments by which its tests leave nothing behind
}

// Tested reports whether the package has tests of its own.
func (p *Package) Tested() bool { return len(p.TestGoFiles)+len(p.XTestGoFiles) > 0 }

// Packages lists the packages that patterns of the go tool name.
func Packages(ctx context.Context, dir string, patterns ...string) (list []Package, err error) {
	const fields = "-json=ImportPath,Name,Dir,GoFiles,TestGoFiles,XTestGoFiles,TestImports,XTestImports"
	list, err = goList[Package](ctx, dir, append([]string{fields}, patterns...)...)
	for i, p := range list {
		if slices.Contains(slices.Concat(p.TestImports, p.XTestImports), "pgregory.net/rapid") {
			list[i].quiet = []string{"-rapid.nofailfile"}
		}
	}
	return list, err
}

// goList runs go list, whose answer is one value after another.
func goList[T any](ctx context.Context, dir string, args ...string) (list []T, err error) {
	cmd := exec.CommandContext(ctx, "go", append([]string{"list"}, args...)...)
	cmd.Dir, cmd.Stderr = dir, os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("mutate: go list %v: %w", args, err)
	}
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var x T
		if err := dec.Decode(&x); errors.Is(err, io.EOF) {
			return list, nil
		} else if err != nil {
			return nil, fmt.Errorf("mutate: go list: %w", err)
		}
		list = append(list, x)
	}
}

// Mutants lists the mutants of all files of the package but its tests.
func (p *Package) Mutants(kinds Kinds) (all []Mutant, err error) {
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
