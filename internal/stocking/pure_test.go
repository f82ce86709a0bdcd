package stocking

import (
	"go/parser"
	"go/token"
	"os"
	"strconv"
	"strings"
	"testing"
)

// TestThePackageIsPure lists what the package may import: the model, the species, the
// water and the solvers, and of the standard library nothing that reaches outside.
func TestThePackageIsPure(t *testing.T) {
	allowed := map[string]bool{
		"commensal/internal/budget": true, "commensal/internal/conflict": true, "commensal/internal/species": true,
		"commensal/internal/species/law": true, "commensal/internal/waterchem": true, "commensal/internal/units": true,
		"commensal/internal/stocking/graph": true, "commensal/internal/stocking/leaveout": true,
		"cmp": true, "fmt": true, "maps": true, "math": true, "slices": true, "strconv": true, "strings": true, "unicode": true, "unicode/utf8": true,
		"math/bits": true, "container/heap": true, "sort": true,
	}
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, f := range files {
		if !strings.HasSuffix(f.Name(), ".go") || strings.HasSuffix(f.Name(), "_test.go") {
			continue
		}
		seen++
		tree, err := parser.ParseFile(token.NewFileSet(), f.Name(), nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range tree.Imports {
			if path, _ := strconv.Unquote(i.Path.Value); !allowed[path] {
				t.Errorf("%s imports %s", f.Name(), path)
			}
		}
	}
	if seen == 0 {
		t.Fatal("no files looked at")
	}
}
