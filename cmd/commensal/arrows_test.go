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

// impure are the imports that a pure package does without.
var impure = []string{"context", "net", "net/http", "os", "os/exec", "log", "log/slog", "time", "math/rand",
	"github.com/jackc/pgx/v5", "github.com/labstack/echo/v4", "database/sql"}

func TestPurePackagesStayPure(t *testing.T) {
	t.Parallel()
	for _, pkg := range []string{"units", "species", "conflict", "waterchem", "stocking", "stocking/graph"} {
		for _, imported := range imports(t, "commensal/internal/"+pkg) {
			if slices.Contains(impure, imported) {
				t.Errorf("%s imports %s", pkg, imported)
			}
		}
	}
}

// rooms lists, for each package of the domain, the packages of ours it may know.
var rooms = map[string][]string{
	"units":          {},
	"species":        {},
	"conflict":       {"species", "units"},
	"waterchem":      {},
	"stocking/graph": {},
	"stocking":       {"conflict", "species", "units", "waterchem", "stocking/graph"},
	"store":          {"species"},
	"localpg":        {},
}

func TestArrowsPointOneWay(t *testing.T) {
	t.Parallel()
	for room, allowed := range rooms {
		for _, imported := range imports(t, "commensal/internal/"+room) {
			ours, ok := strings.CutPrefix(imported, "commensal/internal/")
			if ok && !slices.Contains(allowed, ours) {
				t.Errorf("internal/%s imports internal/%s", room, ours)
			}
		}
	}
}

func TestTheProgramCarriesNoTestCode(t *testing.T) {
	t.Parallel()
	for _, dep := range golist(t, "-deps", "commensal/cmd/commensal") {
		for _, unwanted := range []string{"testing", "dbtest", "testcontainers", "pgregory.net/rapid", "species/synthetic"} {
			if dep == unwanted || strings.Contains(dep, "/"+unwanted) || strings.HasPrefix(dep, unwanted+"/") {
				t.Errorf("the program depends on %s", dep)
			}
		}
	}
}
