package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"commensal/internal/service"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/store"
	"commensal/internal/store/dbtest"
)

// exported writes the built-in catalogue to a new folder.
func exported(t *testing.T) (dir string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "catalogue")
	mustRun(t, nil, "catalogue", "export", "--out", dir)
	return dir
}

func TestTheBuiltInCatalogueVerifies(t *testing.T) {
	t.Parallel()
	if out := mustRun(t, nil, "catalogue", "verify"); !strings.Contains(out, " species: 0 errors, ") {
		t.Errorf("got %s", out)
	}
	out := mustRun(t, nil, "catalogue", "verify", "--report")
	for _, part := range []string{"Basis of the values", "memory", " species: 0 errors, "} {
		if !strings.Contains(out, part) {
			t.Errorf("the report lacks %q", part)
		}
	}
}

func TestVerifyTellsThePlace(t *testing.T) {
	t.Parallel()
	dir := exported(t)
	name, rest := "- scientific_name: Astronotus ocellatus\n", "  family: Cichlidae\n  synonyms:" // its forms have none
	editFile(t, filepath.Join(dir, "species", "all.yaml"), name+rest, name+"  reviewed:\n    needs: oscars do not mind\n"+rest)
	status, out, _ := run(t, nil, "catalogue", "verify", "--dir", dir)
	if status != exitFailure || !strings.Contains(out, "species/all.yaml:") || !strings.Contains(out, ": error: astronotus-ocellatus: reviewed needs: nothing is unusual") {
		t.Errorf("status %d\n%s", status, out)
	}
}

func TestVerifyListsWhatWasReviewedOnDemand(t *testing.T) {
	t.Parallel()
	file, dir := sheetFile(t, unheatedOscar), filepath.Join(t.TempDir(), "reviewed")
	mustRun(t, nil, "catalogue", "import", file, "--out", dir)
	for _, c := range []struct {
		args  []string
		shown bool
	}{{nil, false}, {[]string{"--reviewed"}, true}} {
		out := mustRun(t, nil, append([]string{"catalogue", "verify", "--dir", dir}, c.args...)...)
		if strings.Contains(out, "right because our rooms are warm") != c.shown || strings.Contains(out, " 0 reviewed\n") {
			t.Errorf("%v: got\n%s", c.args, out)
		}
	}
}

func TestThePageAboutTheCatalogueIsCurrent(t *testing.T) {
	t.Parallel()
	page, err := os.ReadFile("../../db/catalogue/COVERAGE.md")
	if err != nil {
		t.Fatal(err)
	}
	if want := mustRun(t, nil, "catalogue", "verify", "--markdown"); string(page) != want {
		t.Error("db/catalogue/COVERAGE.md is not what the catalogue holds now: run make catalogue-report")
	}
}

func TestAnExportedFolderIsTheSameCatalogue(t *testing.T) {
	t.Parallel()
	built, err := readCatalogue("")
	if err != nil {
		t.Fatal(err)
	}
	again, err := readCatalogue(exported(t))
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(built, again) {
		t.Error("reading it back gives another catalogue")
	}
}

func TestTheExportOnStandardOutputIsReadable(t *testing.T) {
	t.Parallel()
	entries, err := catalogue.ParseFile("export", []byte(mustRun(t, nil, "catalogue", "export")))
	if err != nil || len(entries) < 141 {
		t.Errorf("%d entries, %v", len(entries), err)
	}
	var whole struct{ Species, Words []json.RawMessage }
	if err := json.Unmarshal([]byte(mustRun(t, nil, "catalogue", "export", "--format", "json")), &whole); err != nil {
		t.Fatal(err)
	}
	if len(whole.Species) != len(entries) || len(whole.Words) == 0 {
		t.Errorf("JSON has %d species and %d words, YAML %d species", len(whole.Species), len(whole.Words), len(entries))
	}
}

func TestAFaultyCatalogueIsRefusedWithItsFaults(t *testing.T) {
	t.Parallel()
	dir, env := exported(t), environment{"DATABASE_URL": dbtest.New(t)}
	file := filepath.Join(dir, "species", "all.yaml")
	editFile(t, file, "en: [Oscar,", "en: [Guppy, Oscar,")
	t.Run("verify lists them", func(t *testing.T) {
		status, stdout, _ := run(t, nil, "catalogue", "verify", "--dir", dir)
		if status != exitFailure || !strings.Contains(stdout, "error: ") || !strings.Contains(strings.ToLower(stdout), "guppy") {
			t.Errorf("status %d: %s", status, stdout)
		}
	})
	t.Run("load loads nothing", func(t *testing.T) {
		status, stdout, stderr := run(t, env, "catalogue", "load", "--dir", dir)
		if status != exitFailure || stdout != "" || !strings.Contains(strings.ToLower(stderr), "guppy") {
			t.Errorf("status %d: %s%s", status, stdout, stderr)
		}
		status, _, stderr = run(t, env, "catalogue", "export", "--stored")
		if status != exitFailure || !strings.Contains(stderr, "no catalogue") {
			t.Errorf("the database holds something: status %d, %s", status, stderr)
		}
	})
	t.Run("a text that cannot be read names its line", func(t *testing.T) {
		if err := os.WriteFile(file, []byte("- scientific_name: [\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		status, _, stderr := run(t, nil, "catalogue", "verify", "--dir", dir)
		if status != exitFailure || !strings.Contains(stderr, "all.yaml:") {
			t.Errorf("status %d: %s", status, stderr)
		}
	})
}

func TestLoadNumbersRevisionsAndExportGivesThemBack(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.New(t)}
	for _, want := range []string{"as revision 1\n", "revision 1 holds this catalogue already"} {
		if out := mustRun(t, env, "catalogue", "load"); !strings.Contains(out, want) {
			t.Errorf("got %q, want %q", out, want)
		}
	}
	dir := exported(t)
	editFile(t, filepath.Join(dir, "species", "all.yaml"), "en: [Oscar,", "en: [Renamed oscar, Oscar,")
	if out := mustRun(t, env, "catalogue", "load", "--dir", dir, "--note", "a new name"); !strings.Contains(out, "as revision 2\n") {
		t.Errorf("got %q", out)
	}
	if out := mustRun(t, env, "catalogue", "export", "--stored"); !strings.Contains(out, "Renamed oscar") {
		t.Error("the stored catalogue does not have the new name")
	}
}

func TestExportRefusesWhatContradictsItself(t *testing.T) {
	t.Parallel()
	there := t.TempDir()
	for _, c := range []struct {
		args   []string
		status int
		stderr string
	}{
		{[]string{"--format", "xml"}, exitUsage, "yaml, csv or json"},
		{[]string{"--stored", "--dir", "x"}, exitUsage, "--stored"},
		{[]string{"--out", "x", "--format", "json"}, exitUsage, "--out"},
		{[]string{"--out", there}, exitFailure, "new folder"},
		{[]string{"--dir", filepath.Join(there, "nothing")}, exitFailure, "nothing"},
	} {
		status, stdout, stderr := run(t, nil, append([]string{"catalogue", "export"}, c.args...)...)
		if status != c.status || stdout != "" || !strings.Contains(stderr, c.stderr) {
			t.Errorf("%v: status %d, %q, %q", c.args, status, stdout, stderr)
		}
	}
}

// A database that a later program has been at: this one serves what it finds, and leaves it.
func TestALaterEditionStaysWhenAnOlderProgramStarts(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.New(t)}
	mustRun(t, env, "catalogue", "offer")
	st, err := store.Open(t.Context(), env["DATABASE_URL"], store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	later, err := builtin.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	edition, err := service.BuiltInEdition("v999")
	if err != nil {
		t.Fatal(err)
	}
	renamed := later.Species[0]
	renamed.Names[0].Text = "Renamed by the later edition"
	edition.Number++
	if _, _, changed, err := st.OfferCatalogue(t.Context(), later, edition); err != nil || !changed {
		t.Fatalf("changed %v, %v", changed, err)
	}
	if out := mustRun(t, env, "catalogue", "offer"); !strings.HasPrefix(out, "revision 2 holds another catalogue, which stays") {
		t.Errorf("offer says %q", out)
	}
	s := serve(t, env, "--migrate")
	if _, body := s.get(t, "/v1/species/"+string(renamed.ID)); !strings.Contains(body, "Renamed by the later edition") || !strings.Contains(body, `"catalogue_revision":2`) {
		t.Errorf("the service answers %s", body)
	}
	if current, err := st.CurrentRevision(t.Context()); err != nil || current != 2 {
		t.Errorf("the older program made revision %d (%v)", current, err)
	}
}
