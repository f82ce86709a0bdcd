package localcli

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestTheSameListInEveryFormatIsTheSameRequest(t *testing.T) {
	t.Parallel()
	const want = `{"residents":[{"count":12,"species":"neon tetra"},{"species":"oscar"}]}`
	for _, c := range []struct{ name, file, text string }{
		{"YAML", "l.yaml", "residents:\n  - species: neon tetra\n    count: 12\n  - species: oscar\n"},
		{"YAML by content", "l.txt", "# mine\n---\nresidents: [{species: neon tetra, count: 12}, {species: oscar}]\n"},
		{"JSON", "l.json", `{"residents":[{"species":"neon tetra","count":12},{"species":"oscar"}]}`},
		{"a basket", "l.csv", "neon tetra,12\noscar\n"},
		{"a basket by content with a header", "l", "Species,Count\n\nneon tetra, 12\n# a remark\n\"oscar\",\n"},
		{"a basket as a spreadsheet saves it", "l", "\ufeffspecies,count\r\nneon tetra,012\r\noscar,\r\n"},
	} {
		name := filepath.Join(t.TempDir(), c.file)
		if err := os.WriteFile(name, []byte(c.text), 0o600); err != nil {
			t.Fatal(err)
		}
		list, err := ReadList(name, nil)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := sorted(t, list.Body()); got != want {
			t.Errorf("%s: got %s", c.name, got)
		}
	}
}

// sorted writes JSON with the members of its objects in order.
func sorted(t *testing.T, text []byte) string {
	t.Helper()
	var value any
	if err := json.Unmarshal(text, &value); err != nil {
		t.Fatal(err)
	}
	out, err := json.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

func TestWordsForYesAndNoAreTakenUnlessTheyAreQuoted(t *testing.T) {
	t.Parallel()
	list, err := ReadList("-", strings.NewReader("a: yes\nb: Off\nc: 'yes'\nd: true\ne: 25\nf: 1.5e1\n"))
	if err != nil {
		t.Fatal(err)
	}
	if got := sorted(t, list.Body()); got != `{"a":true,"b":false,"c":"yes","d":true,"e":25,"f":15}` {
		t.Errorf("got %s", got)
	}
}

func TestAMistakeInAFileHasItsLine(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, text string
		line       int
	}{
		{"a field twice", "residents:\n  - species: oscar\n    species: betta\n", 3},
		{"a list to be recorded", "residents: [{species: oscar}]\nrecord: yes\n", 2},
		{"no value", "tank:\n  ph:\n", 2},
		{"an alias", "residents: [&a {species: oscar}, *a]\n", 1},
		{"a NUL", "residents:\n  - {species: \"os\x00car\"}\n", 2},
		{"broken UTF-8", "residents:\n\n  - {species: \"os\xffcar\"}\n", 3},
		{"nothing", " \n\n", 0},
		{"two documents", "residents: []\n---\nresidents: []\n", 2},
		{"nested too deep", "a: " + strings.Repeat("[", 20) + strings.Repeat("]", 20), 1},
		{"a count in words", "oscar,1\nneon tetra,twelve\n", 2},
		{"no name", "oscar,1\n,3\n", 2},
		{"three columns", "oscar,1,4.99\n", 1},
	} {
		_, err := ReadList("-", strings.NewReader(c.text))
		var at *FileError
		if !errors.As(err, &at) || at.line != c.line {
			t.Errorf("%s: got %v, want line %d", c.name, err, c.line)
		}
	}
}

func TestAPointerLeadsToTheLineOfWhatItNames(t *testing.T) {
	t.Parallel()
	list, err := ReadList("-", strings.NewReader("tank:\n  size: 60x30x30cm\nresidents:\n  - species: oscar\n    count: 1\n"))
	if err != nil {
		t.Fatal(err)
	}
	for pointer, want := range map[string]int{"/tank/size": 2, "/residents/0/count": 5, "/residents/0/sex": 4, "/residents/7": 3, "/nothing": 0, "": 0} {
		if got := list.line(pointer); got != want {
			t.Errorf("%q leads to line %d, want %d", pointer, got, want)
		}
	}
}

// FuzzListFile holds that no file is more than a mistake, and that what is read is JSON.
func FuzzListFile(f *testing.F) {
	for _, seed := range []string{"tank: {size: 100x40x40cm, lid: yes}\nresidents:\n  - {species: neon tetra, count: 12}\n", "oscar,1\n", `{"residents":[]}`, "a: &x [*x]", "\"", "? [a]: b", "- - - -", "species,count\n\"a\nb\",2"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		list, err := ReadList("-", strings.NewReader(text))
		if err == nil && !json.Valid(list.Body()) {
			t.Errorf("%q became %s", text, list.Body())
		}
	})
}
