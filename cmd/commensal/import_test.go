package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"commensal/internal/store/dbtest"
)

// sheetFile writes a file for import.
func sheetFile(t *testing.T, text string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "fish.csv")
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

const lengthSheet = "scientificName,length low [in],length typical [in],length high [in],length basis\n"

// unheatedOscar says something unusual of a fish of the tropics, and why it is right.
const unheatedOscar = "scientificName,taxonRemarks,needs,reviewed\nAstronotus ocellatus,A remark of ours.,unheated,needs: our rooms are warm\n"

func TestTheExportedSheetIsTheSameCatalogue(t *testing.T) {
	t.Parallel()
	text := mustRun(t, nil, "catalogue", "export", "--format", "csv")
	file, out := sheetFile(t, "\xef\xbb\xbf"+strings.ReplaceAll(text, "\n", "\r\n")), filepath.Join(t.TempDir(), "same")
	if got := mustRun(t, nil, "catalogue", "import", file, "--replace", "--out", out); got != "0 added, 0 changed, 0 removed\n" {
		t.Errorf("importing it changes\n%s", got)
	}
	built, err := readCatalogue("")
	if err != nil {
		t.Fatal(err)
	}
	if again, err := readCatalogue(out); err != nil || !reflect.DeepEqual(built, again) {
		t.Errorf("the folder holds another catalogue (%v)", err)
	}
}

func TestImportShowsWhatChangesAndWritesNothingUnasked(t *testing.T) {
	t.Parallel()
	file := sheetFile(t, lengthSheet+"Astronotus ocellatus,11,13,15,memory\n")
	out := mustRun(t, nil, "catalogue", "import", file)
	for _, part := range []string{"~ astronotus-ocellatus\n    checked: ", "    trait length: 28 32 38 cm memory → 27.94 33.02 38.1 cm memory\n0 added, 1 changed, 0 removed\n", "nothing was written"} {
		if !strings.Contains(out, part) {
			t.Errorf("got\n%s\nwhich lacks %q", out, part)
		}
	}
}

func TestImportRefusesWhatWouldHarmTheCatalogue(t *testing.T) {
	t.Parallel()
	proposal := filepath.Join(t.TempDir(), "proposal")
	env := environment{"DATABASE_URL": dbtest.New(t)}
	for _, c := range []struct{ name, text, message string }{
		{"a number that is none", lengthSheet + "Astronotus ocellatus,11,about 13,15,memory\n", `fish.csv:2: length typical [in]: "about 13" is not a number`},
		{"an unknown column", "scientificName,familly\nAstronotus ocellatus,Cichlidae\n", "fish.csv:1: familly: unknown column; did you mean family?"},
		{"a synonym that is another's name", "scientificName,synonyms\nAstronotus ocellatus,Paracheirodon innesi\n", "fish.csv:2: error: astronotus-ocellatus: synonyms: "},
		{"a new entry without its values", "scientificName,family\nParvus celer,Parvidae\n", "fish.csv:2: error: parvus-celer: trait length: missing"},
	} {
		file := sheetFile(t, c.text)
		for _, where := range [][]string{{"--out", proposal}, {"--load"}} {
			status, stdout, stderr := run(t, env, append([]string{"catalogue", "import", file}, where...)...)
			if status != exitFailure || !strings.Contains(stdout+stderr, c.message) || !strings.Contains(stderr, "nothing was imported") {
				t.Errorf("%s: status %d\n%s%s", c.name, status, stdout, stderr)
			}
		}
	}
	if _, err := os.Stat(proposal); err == nil {
		t.Error("a folder was written")
	}
	if status, _, stderr := run(t, env, "catalogue", "export", "--stored"); status != exitFailure || !strings.Contains(stderr, "no catalogue") {
		t.Errorf("the database holds something: status %d, %s", status, stderr)
	}
}

func TestImportCallsALengthInInchesASlip(t *testing.T) {
	t.Parallel()
	file := sheetFile(t, strings.ReplaceAll(lengthSheet, "[in]", "[cm]")+"Paracheirodon innesi,1.18,1.38,1.57,memory\n")
	out := mustRun(t, nil, "catalogue", "import", file)
	if !strings.Contains(out, "fish.csv:2: review: paracheirodon-innesi: ") || !strings.Contains(out, "inches") {
		t.Errorf("got\n%s", out)
	}
}

func TestImportMakesARevisionOnTopOfTheCurrentOne(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.New(t)}
	oscar := sheetFile(t, lengthSheet+"Astronotus ocellatus,11,13,15,memory\n")
	if out := mustRun(t, env, "catalogue", "import", oscar, "--load"); !strings.Contains(out, "as revision 1\n") {
		t.Errorf("got %s", out)
	}
	unheated := sheetFile(t, unheatedOscar)
	if out := mustRun(t, env, "catalogue", "import", unheated, "--load", "--note", "a remark"); !strings.Contains(out, "as revision 2\n") || strings.Contains(out, "length") {
		t.Errorf("got %s", out)
	}
	stored := mustRun(t, env, "catalogue", "export", "--stored")
	for _, part := range []string{"length: 27.94 33.02 38.1 cm memory", "A remark of ours.", "  reviewed:\n    needs: our rooms are warm\n"} {
		if !strings.Contains(stored, part) {
			t.Errorf("the database lacks %q", part)
		}
	}
	if out := mustRun(t, env, "catalogue", "import", unheated, "--stored"); !strings.HasPrefix(out, "0 added, 0 changed, 0 removed\n") {
		t.Errorf("on top of what is stored it changes %s", out)
	}
}

func TestImportTakesSourcesAlong(t *testing.T) {
	t.Parallel()
	file := sheetFile(t, lengthSheet+"Astronotus ocellatus,11,13,15,source:survey\n")
	if status, out, _ := run(t, nil, "catalogue", "import", file); status != exitFailure || !strings.Contains(out, `source "survey" is not in the list`) {
		t.Errorf("without its source: status %d\n%s", status, out)
	}
	sources := filepath.Join(t.TempDir(), "sources.yaml")
	built, err := fs.ReadFile(catalogueFiles(""), "sources.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(sources, append(built, "survey: A survey of our own\n"...), 0o644); err != nil {
		t.Fatal(err)
	}
	out := mustRun(t, nil, "catalogue", "import", file, "--sources", sources)
	if !strings.Contains(out, "cm source:survey\n") || !strings.Contains(out, "    sources survey: none → A survey of our own\n") {
		t.Errorf("got\n%s", out)
	}
}

func TestImportTakesWordsAlong(t *testing.T) {
	t.Parallel()
	c, err := readCatalogue("")
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(mustRun(t, nil, "catalogue", "export", "--format", "csv"), "\n")
	file := sheetFile(t, strings.Join(lines[:3], ""))
	first := string(c.Species[0].ID)
	words := filepath.Join(t.TempDir(), "words.yaml")
	if err := os.WriteFile(words, []byte("some word: ["+first+"]\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	out := mustRun(t, nil, "catalogue", "import", file, "--replace", "--words", words)
	if !strings.Contains(out, "    words some word: none → "+first+"\n") || !strings.Contains(out, "    words ram: ") || !strings.Contains(out, "0 added, 0 changed, ") {
		t.Errorf("got\n%s", out)
	}
}

func TestImportRefusesWhatContradictsItself(t *testing.T) {
	t.Parallel()
	file := sheetFile(t, "scientificName\nAstronotus ocellatus\n")
	for _, c := range []struct {
		args   []string
		status int
		stderr string
	}{
		{nil, exitUsage, "accepts 1 arg"},
		{[]string{file, "--stored", "--dir", "x"}, exitUsage, "--stored"},
		{[]string{filepath.Join(t.TempDir(), "nothing.csv")}, exitFailure, "nothing.csv"},
		{[]string{file, "--out", t.TempDir()}, exitFailure, "new folder"},
		{[]string{file, "--words", "nothing.yaml"}, exitFailure, "nothing.yaml"},
		{[]string{file, "--sources", file}, exitFailure, "fish.csv:1: "},
		{[]string{file, "--dir", filepath.Join(t.TempDir(), "nothing")}, exitFailure, "nothing"},
	} {
		status, _, stderr := run(t, nil, append([]string{"catalogue", "import"}, c.args...)...)
		if status != c.status || !strings.Contains(stderr, c.stderr) {
			t.Errorf("%v: status %d, %q", c.args, status, stderr)
		}
	}
}
