package main

import (
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// imports lists what a package imports itself, its tests left out.
func imports(t *testing.T, pkg string) []string {
	t.Helper()
	return golist(t, "-f", `{{join .Imports "\n"}}`, pkg)
}

func golist(t *testing.T, args ...string) []string {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), "go", append([]string{"list"}, args...)...).Output()
	if err != nil {
		t.Fatalf("go list %v: %v", args, err)
	}
	return strings.Fields(string(out))
}

// impure are the imports that a pure package does without, with all that lies under
// them.
var impure = []string{"context", "net", "os", "log", "time", "math/rand", "database/sql", "syscall",
	"github.com/jackc/pgx", "github.com/labstack/echo", "github.com/golang-migrate"}

// pure are the packages that compute and do nothing else.
var pure = []string{"units", "budget", "species", "species/catalogue", "species/catalogue/entry", "species/catalogue/sheet",
	"species/catalogue/verify", "species/catalogue/compare", "species/catalogue/coverage", "species/catalogue/packed", "species/catalogue/builtin", "conflict", "waterchem",
	"stocking", "stocking/graph", "stocking/leaveout", "stocking/meanings", "stocking/wording", "stocking/additions", "stocking/groupings", "stocking/placements", "stocking/remedies",
	"evidence", "pages/answers", "pages/links", "pages/pictures", "pages/words", "pages/docs", "pages/embed"}

func TestPurePackagesStayPure(t *testing.T) {
	t.Parallel()
	for _, room := range pure {
		for _, imported := range imports(t, "commensal/internal/"+room) {
			for _, unwanted := range impure {
				if imported == unwanted || strings.HasPrefix(imported, unwanted+"/") {
					t.Errorf("internal/%s imports %s", room, imported)
				}
			}
		}
	}
}

// readRooms reads testdata/rooms.txt: for each package the packages of ours it may know.
func readRooms(t *testing.T) map[string][]string {
	t.Helper()
	text, err := os.ReadFile("testdata/rooms.txt")
	if err != nil {
		t.Fatal(err)
	}
	rooms := map[string][]string{}
	for line := range strings.Lines(string(text)) {
		room, known, ok := strings.Cut(strings.TrimSpace(line), ":")
		if !ok || strings.HasPrefix(room, "#") {
			continue
		}
		rooms[room] = []string{}
		for _, other := range strings.Fields(known) {
			if strings.HasPrefix(other, "@") {
				rooms[room] = append(rooms[room], rooms[other]...)
			} else {
				rooms[room] = append(rooms[room], other)
			}
		}
	}
	return rooms
}

// ours is a package's place in the tree; ok is false for other people's.
func ours(pkg string) (room string, ok bool) {
	if pkg == "commensal" {
		return ".", true
	}
	return strings.CutPrefix(pkg, "commensal/")
}

func TestArrowsPointOneWay(t *testing.T) {
	t.Parallel()
	rooms := readRooms(t)
	for _, pkg := range golist(t, "commensal/...") {
		room, _ := ours(pkg)
		if strings.HasPrefix(room, "cmd/") {
			continue // the programs wire everything together
		}
		inAPI := room == "api" || strings.HasPrefix(room, "api/") // whose rooms hold each other to their order in api/rooms_test.go
		allowed, known := rooms[room]
		if inAPI && !known {
			allowed, known = rooms["api"], true
		}
		if !known {
			t.Errorf("%s is new: say in testdata/rooms.txt what it may know", room)
		}
		for _, imported := range imports(t, pkg) {
			other, ok := ours(imported)
			if inAPI && (other == "api" || strings.HasPrefix(other, "api/")) {
				continue
			}
			if ok && !slices.Contains(allowed, other) {
				t.Errorf("%s imports %s", pkg, other)
			}
		}
	}
}

// maxFiles is as many files of a package as a person looks through.
const maxFiles = 25

func TestNoRoomIsTooLargeToLookThrough(t *testing.T) {
	t.Parallel()
	for _, line := range golist(t, "-f", `{{.ImportPath}}={{len .GoFiles}}`, "commensal/...") {
		pkg, count, _ := strings.Cut(line, "=")
		if n, err := strconv.Atoi(count); err != nil || n > maxFiles {
			t.Errorf("%s has %s files of production code, more than %d (%v): part it, or join what belongs together", pkg, count, maxFiles, err)
		}
	}
}

func TestTheProgramCarriesNoTestCode(t *testing.T) {
	t.Parallel()
	for _, dep := range golist(t, "-deps", "commensal/cmd/commensal") {
		for _, unwanted := range []string{"testing", "dbtest", "testcontainers", "pgregory.net/rapid", "species/synthetic", "stocking/testfish", "stocking/stockingtest"} {
			if dep == unwanted || strings.Contains(dep, "/"+unwanted) || strings.HasPrefix(dep, unwanted+"/") {
				t.Errorf("the program depends on %s", dep)
			}
		}
	}
}
