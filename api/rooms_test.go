package api_test

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// rooms says which packages of api each of them may import, beside gen, which holds what is generated
// from the contract. A room stands below those that it may import, so that no circle can be: a new
// room is a new line, and another arrow a word in one.
var rooms = []struct{ room, may string }{
	// what every room answers with
	{"gen/rules", ""},
	{"gen", ""},
	{"respond", ""},
	{"validate", "respond"},
	{"work", "respond"},
	{"transact", "respond validate work"},
	{"middleware", "respond transact work"},
	{"wire", "respond validate"},
	// what is asked
	{"lookups", "respond validate wire work"},
	{"lists", "respond validate wire work lookups"},
	{"tanks", "respond validate transact wire lists"},
	{"records", "respond validate transact wire work lists"},
	{"rehoming", "respond validate transact wire work lists tanks"},
	{"stock", "respond validate transact middleware wire work lists"},
	{"reports", "respond validate transact wire"},
	{"accounts", "respond validate transact middleware wire"},
	{"curation", "respond validate transact wire lookups"},
	{"site", "respond"},
	// what joins them
	{".", "respond validate middleware wire work lookups lists tanks records rehoming stock reports accounts curation site"},
	// what only tests import
	{"apitest/fixture", ""},
	{"apitest", "respond validate apitest/fixture ."},
}

// most is how many production files a package may have, and mostAtTheRoot the package that joins them.
const (
	most          = 25
	mostAtTheRoot = 12
)

func TestRoomsImportOnlyWhatTheyMay(t *testing.T) {
	above := []string{"gen"} // which imports nothing of ours
	for _, r := range rooms {
		may := append(strings.Fields(r.may), "gen")
		for _, below := range may {
			if !slices.Contains(above, below) {
				t.Errorf("%s may import %s, which does not stand above it", r.room, below)
			}
		}
		above = append(above, r.room)
		imported := map[string]bool{"gen": true}
		for _, file := range productionFiles(t, r.room) {
			for _, path := range importsOf(t, file) {
				imported[path] = true
				if !slices.Contains(may, path) {
					t.Errorf("%s imports %s", file, path)
				}
			}
		}
		for _, arrow := range may {
			if !imported[arrow] {
				t.Errorf("%s may import %s and does not: take it off the line", r.room, arrow)
			}
		}
	}
}

// stored are the rooms that may know the database. Whatever is answered by the others touches none.
var stored = []string{"respond", "transact", "tanks", "records", "rehoming", "stock", "reports", "accounts", "curation", ".", "apitest"}

func TestOnlyRoomsOfStoredThingsKnowTheDatabase(t *testing.T) {
	for _, r := range rooms {
		knows := false
		for _, file := range productionFiles(t, r.room) {
			knows = knows || slices.Contains(allImportsOf(t, file), "commensal/internal/store")
		}
		if may := slices.Contains(stored, r.room); knows != may {
			t.Errorf("%s knows the database: %v, and may: %v", r.room, knows, may)
		}
	}
}

func TestEveryRoomIsOnTheListAndOfAHandySize(t *testing.T) {
	known := map[string]bool{}
	for _, r := range rooms {
		known[r.room] = true
		limit := most
		if r.room == "." {
			limit = mostAtTheRoot
		}
		if n := len(productionFiles(t, r.room)); n == 0 || n > limit {
			t.Errorf("%s has %d files, of at most %d", r.room, n, limit)
		}
	}
	for _, pattern := range []string{"*/*.go", "*/*/*.go"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			if room := filepath.ToSlash(filepath.Dir(file)); !known[room] {
				t.Errorf("the room of %s is not on the list", file)
				known[room] = true
			}
		}
	}
}

// productionFiles are the files of a room that are no tests.
func productionFiles(t *testing.T, room string) []string {
	t.Helper()
	entries, err := os.ReadDir(room)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		if name := e.Name(); strings.HasSuffix(name, ".go") && !strings.HasSuffix(name, "_test.go") {
			out = append(out, filepath.Join(room, name))
		}
	}
	return out
}

// importsOf are the packages of api that a file imports, below api; "." is api itself.
func importsOf(t *testing.T, file string) (out []string) {
	t.Helper()
	for _, path := range allImportsOf(t, file) {
		if path == "commensal/api" {
			out = append(out, ".")
		} else if room, ok := strings.CutPrefix(path, "commensal/api/"); ok {
			out = append(out, room)
		}
	}
	return out
}

func allImportsOf(t *testing.T, file string) (out []string) {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
	if err != nil {
		t.Fatal(err)
	}
	for _, spec := range f.Imports {
		path, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, path)
	}
	return out
}
