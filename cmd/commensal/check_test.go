package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/api/gen"
	"commensal/internal/terminal"
)

var update = flag.Bool("update", false, "write the golden files anew")

// feed carries out one command line with a text on standard input.
func feed(t *testing.T, input string, args ...string) (status int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	p := Program{Stdout: &out, Stderr: &errs, Stdin: strings.NewReader(input), Getenv: environment{}.get}
	status = p.Run(context.Background(), args)
	return status, out.String(), errs.String()
}

const calmTank = `tank: {size: 100x40x40cm, temperature_c: 25, ph: 6.8, gh_dh: 6, lid: yes, filter_mature: yes,
  substrate: sand, cover: 0.6, weekly_change: 0.3}
residents:
  - {species: neon tetra, count: 12}
`

func TestTheExitStatusOfACheckIsItsDecision(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, input string
		status      int
	}{
		{"proceed", calmTank, 0},
		{"advise", strings.Replace(calmTank, "count: 12", "count: 3", 1), 3},
		{"hold", calmTank + "incoming:\n  - {species: oscar, count: 1}\n", 4},
		{"hold for an animal that is no fish", calmTank + "incoming:\n  - {species: fire belly newt, count: 1}\n", 4},
		{"a list that is none", "residents: []\n", 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			status, out, errs := feed(t, c.input, "check", "-")
			if status != c.status {
				t.Errorf("status %d, want %d\n%s%s", status, c.status, out, errs)
			}
		})
	}
}

func TestAListIsReadInEveryFormat(t *testing.T) {
	t.Parallel()
	want := ""
	for _, c := range []struct{ name, file, input string }{
		{"YAML", "l.yaml", "residents:\n  - species: neon tetra\n    count: 12\n  - species: Oscar\n"},
		{"YAML by content", "l.txt", "# mine\n---\nresidents: [{species: neon tetra, count: 12}, {species: oscar}]\n"},
		{"JSON", "l.json", `{"residents":[{"species":"neon tetra","count":12},{"species":"oscar"}]}`},
		{"JSON by content", "-", "{\n\"residents\":[{\"species\":\"neon tetra\",\"count\":1.2e1},{\"species\":\"oscar\"}]}"},
		{"CSV", "l.csv", "neon tetra,12\noscar\n"},
		{"CSV by content with a header", "-", "Species,Count\n\nneon tetra, 12\n# a remark\n\"oscar\",\n"},
		{"CSV as a spreadsheet saves it", "-", "\ufeffspecies,count\r\nneon tetra,012\r\noscar,\r\n"},
		{"YAML as Windows saves it", "l.YML", "\ufeffresidents:\r\n  - {species: neon tetra, count: 12}\r\n  - {species: oscar}\r\n"},
	} {
		name := c.file
		if name != "-" {
			name = filepath.Join(t.TempDir(), c.file)
			if err := os.WriteFile(name, []byte(c.input), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		status, out, errs := feed(t, c.input, "check", name, "--json")
		if want == "" {
			want = out
		}
		if status != 4 || out != want {
			t.Errorf("%s: status %d\n%s%s", c.name, status, out, errs)
		}
	}
}

func TestMistakesInAListAreToldByLine(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, input, stderr string }{
		{"an unknown fish", "residents:\n  - {species: oscar}\n  - {species: oscarr}\n", `standard input:3: No species is called "oscarr"`},
		{"an unknown fish", "residents:\n  - species: snorkfish\n", "standard input:2: "},
		{"no fish", "residents:\n  - species: oscar\n    count: 0\n", "standard input:3: count is below 1"},
		{"half a fish", "residents:\n  - species: oscar\n    count: 0.5\n", "standard input:3: count is not a whole number"},
		{"a misspelt field", "residents:\n  - {species: oscar}\ntnak: {}\n", "standard input:3: tnak is not a field"},
		{"a field twice", "residents:\n  - species: oscar\n    species: betta\n", "standard input:3: species is given twice"},
		{"a list to be recorded", "residents: [{species: oscar}]\nrecord: yes\n", "standard input:2: record is for the service"},
		{"a list with a number", "external_ref: T 1\nresidents: [{species: oscar}]\n", "standard input:1: external_ref is for the service"},
		{"no species", "residents:\n  - {species: oscar}\n  - {count: 2}\n", "standard input:3: species is missing"},
		{"no value", "tank:\n  ph:\nresidents: [{species: oscar}]\n", "standard input:2: ph has no value"},
		{"a broken file", "residents:\n  - {species: oscar\nx: [\n", "standard input:"},
		{"two documents", "residents: [{species: oscar}]\n---\nresidents: []\n", "standard input:"},
		{"an alias", "residents: [&a {species: oscar}, *a]\n", "standard input:1: references are not read"},
		{"an infinite pH", "tank: {ph: .inf}\nresidents: [{species: oscar}]\n", `standard input:1: ".inf" is not a number`},
		{"a NUL", "residents:\n  - {species: \"os\x00car\"}\n", "standard input:2: a NUL character"},
		{"broken UTF-8", "residents:\n\n  - {species: \"os\xffcar\"}\n", "standard input:3: this is not UTF-8"},
		{"nothing", " \n\n", "standard input: the file is empty"},
		{"remarks only", "# nothing: yet\n", "standard input: there is no list in it"},
		{"a text", "just: words\n", "standard input:1: just is not a field"},
		{"a basket with a count in words", "oscar,1\nneon tetra,twelve\n", `standard input:2: "twelve" is not a number of fish`},
		{"a basket with half a fish", "species,count\noscar,1.5\n", "standard input:2: count is not a whole number"},
		{"a basket with minus one fish", "oscar,1\n\noscar,-1\n", "standard input:3: count is below 1"},
		{"a basket without a name", "oscar,1\n,3\n", "standard input:2: the species is missing"},
		{"a basket of three columns", "oscar,1,4.99\n", "standard input:1: there are more than two values"},
		{"a basket with an open quote", "oscar,1\n\"neon,2\n", "standard input:"},
		{"a file over 1 MiB", strings.Repeat("# remark\n", 1<<17), "over 1 MiB"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			status, out, errs := feed(t, c.input, "check", "-")
			if status != exitUsage || out != "" || !strings.Contains(errs, c.stderr) {
				t.Errorf("status %d, stdout %q, stderr should have %q:\n%s", status, out, c.stderr, errs)
			}
		})
	}
	if status, _, errs := run(t, nil, "check", filepath.Join(t.TempDir(), "none.yaml")); status != exitUsage || !strings.Contains(errs, "none.yaml") {
		t.Errorf("a missing file: %d %s", status, errs)
	}
	if status, _, errs := feed(t, calmTank, "check", "-", "--units", "metric"); status != exitUsage || !strings.Contains(errs, "units") {
		t.Errorf("units of nowhere: %d %s", status, errs)
	}
}

func TestTheWordsOfACheckAreAsTheyWereApproved(t *testing.T) {
	t.Parallel()
	for name, input := range map[string]string{
		"check-proceed": calmTank,
		"check-hold":    calmTank + "incoming:\n  - {species: oscar, count: 1}\n  - {species: betta, count: 2, sex: male, length_cm: 2in}\n",
		"check-basket":  "goldfish,2\nneon tetra,5\nfiremouth cichlid,2\n",
		"check-mood": "tank: {size: 180x60x60cm, temperature_c: 26, ph: 7, cover: 0.7, lid: yes, weekly_change: 0.5}\nresidents:\n" +
			"  - {species: oscar, count: 1, disposition: calmer, months_observed: 24, keep: yes}\nincoming:\n  - {species: jack dempsey, count: 1}\n",
	} {
		t.Run(name, func(t *testing.T) {
			_, out, errs := feed(t, input, "check", "-", "--units", "us")
			for line := range strings.Lines(out) {
				if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > terminal.Customary {
					t.Errorf("%d columns: %s", n, line)
				}
			}
			// The last line names the release, which differs from build to build.
			body, _, ok := strings.Cut(out, "\nModel ")
			if !ok {
				t.Fatalf("no answer: %s", errs)
			}
			golden(t, name+".txt", body)
		})
	}
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "golden", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil || string(want) != got {
		t.Errorf("%s is not what the program says (%v); go test ./cmd/commensal -run Words -update writes it anew:\n%s", path, err, got)
	}
}

func TestAdditionsNameWhatCouldJoin(t *testing.T) {
	t.Parallel()
	status, out, errs := feed(t, calmTank+"filters: {zone: bottom}\nlimit: 3\n", "additions", "-")
	if status != exitOK || !strings.Contains(out, "Fits\n") || strings.Contains(out, "Nothing.") {
		t.Errorf("%d %s%s", status, out, errs)
	}
	status, out, _ = feed(t, calmTank, "additions", "-", "--json")
	var a gen.Additions
	if err := json.Unmarshal([]byte(out), &a); status != exitOK || err != nil || len(a.Fitting) == 0 {
		t.Errorf("%d %v", status, err)
	}
	if status, _, errs = feed(t, calmTank+"instead_of: oscarr\n", "additions", "-"); status != exitUsage || !strings.Contains(errs, "standard input:5: ") {
		t.Errorf("%d %s", status, errs)
	}
}

func TestTheDocumentedListFileIsRead(t *testing.T) {
	t.Parallel()
	blocks := fenced(t, "README.md", "yaml")
	if len(blocks) == 0 {
		t.Fatal("README.md shows no list file any more")
	}
	for _, text := range blocks {
		if status, _, errs := feed(t, text, "check", "-"); status == exitUsage {
			t.Errorf("%s\n%s", text, errs)
		}
	}
}
