package waterchem

import (
	"go/parser"
	"go/token"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The package computes and does nothing else, so it needs next to nothing.
func TestThePackageImportsOnlyWhatPureComputationNeeds(t *testing.T) {
	allowed := []string{"errors", "fmt", "math"}
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, entry := range entries {
		name := entry.Name()
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			continue
		}
		seen++
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, spec := range file.Imports {
			path, _ := strconv.Unquote(spec.Path.Value)
			if !slices.Contains(allowed, path) {
				t.Errorf("%s imports %q", name, path)
			}
		}
	}
	if seen == 0 {
		t.Fatal("no source files found")
	}
}
