package main

import (
	"os/exec"
	"slices"
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
var pure = []string{"units", "budget", "species", "species/catalogue", "conflict", "waterchem", "stocking", "stocking/graph",
	"stocking/additions", "stocking/groupings", "stocking/placements", "stocking/remedies", "evidence"}

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

// domain is what every package above the model may know.
var domain = []string{"internal/evidence", "internal/stocking", "internal/stocking/additions", "internal/stocking/groupings",
	"internal/stocking/placements", "internal/stocking/remedies", "internal/conflict", "internal/species", "internal/units", "internal/waterchem"}

// solver is what a package that answers a question about lists may know: never another one.
var solver = []string{"internal/stocking", "internal/stocking/graph", "internal/conflict", "internal/species", "internal/waterchem"}

// rooms lists, for each package but the programs, the packages of ours it may know.
// The root package, which carries the contract, is ".".
var rooms = map[string][]string{
	".":                             {},
	"db":                            {},
	"internal/admission":            {},
	"internal/budget":               {},
	"internal/certfile":             {},
	"internal/certfile/certtest":    {},
	"internal/clientaddr":           {},
	"internal/connections":          {},
	"api":                           append([]string{".", "api/gen", "internal/admission", "internal/auth", "internal/budget", "internal/clientaddr", "internal/store", "internal/species/catalogue"}, domain...),
	"api/gen":                       {},
	"internal/units":                {},
	"internal/species":              {"internal/units"},
	"internal/species/catalogue":    {"internal/species", "internal/units"},
	"internal/species/synthetic":    {"internal/species"},
	"internal/waterchem":            {},
	"internal/conflict":             {"internal/species", "internal/units"},
	"internal/conflict/calibration": {"internal/conflict", "internal/species"},
	"internal/stocking":             {"internal/budget", "internal/stocking/graph", "internal/conflict", "internal/species", "internal/units", "internal/waterchem"},
	"internal/stocking/graph":       {},
	"internal/stocking/additions":   solver,
	"internal/stocking/groupings":   solver,
	"internal/stocking/placements":  solver,
	"internal/stocking/remedies":    solver,
	// what the tests of lists share
	"internal/stocking/testfish":     {"db", "internal/conflict", "internal/species", "internal/species/catalogue", "internal/species/synthetic"},
	"internal/stocking/stockingtest": {"internal/conflict", "internal/species", "internal/stocking", "internal/stocking/testfish"},
	"internal/evidence":              {"internal/conflict"},
	"internal/auth":                  {},
	"internal/store":                 append([]string{"internal/auth"}, domain...),
	"internal/store/dbtest":          {"db", "internal/localpg", "internal/store"},
	"internal/localpg":               {},
	"internal/loadtest":              {},
	"internal/localcli":              {"api/gen", "internal/species", "internal/units"},
	"internal/torture":               {}, // its tests know the program and internal/localpg
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
	for _, pkg := range golist(t, "commensal/...") {
		room, _ := ours(pkg)
		if strings.HasPrefix(room, "cmd/") {
			continue // the programs wire everything together
		}
		allowed, known := rooms[room]
		if !known {
			t.Errorf("%s is new: say in rooms what it may know", room)
		}
		for _, imported := range imports(t, pkg) {
			if other, ok := ours(imported); ok && !slices.Contains(allowed, other) {
				t.Errorf("%s imports %s", room, other)
			}
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
