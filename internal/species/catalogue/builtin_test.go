package catalogue_test

import (
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"commensal/db"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/verify"
)

func TestTheBuiltInCatalogueHasNoErrors(t *testing.T) {
	for _, p := range verify.Catalogue(cataloguetest.BuiltIn(t)) {
		if p.Severity == verify.SeverityError {
			t.Error(p)
		} else {
			t.Log(p)
		}
	}
}

// The text travels in the binary as it is: five hundred entries may take 3 MiB there.
func TestTheCatalogueIsSmallInTheBinary(t *testing.T) {
	size, most := int64(0), int64(3<<20)
	err := fs.WalkDir(db.CatalogueFS(), ".", func(_ string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err == nil {
			size += info.Size()
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if per := size / int64(len(cataloguetest.BuiltIn(t).Species)); 500*per > most {
		t.Errorf("an entry takes %d bytes, so 500 take more than %d", per, most)
	}
}

func TestEveryRequiredSpeciesIsThere(t *testing.T) {
	known := make(map[string]bool)
	for _, s := range cataloguetest.BuiltIn(t).Species {
		for _, name := range append([]string{s.ScientificName}, s.Synonyms...) {
			known[strings.ToLower(name)] = true
		}
	}
	data, err := os.ReadFile("../../../testdata/species-required.txt")
	if err != nil {
		t.Fatal(err)
	}
	required := strings.Split(strings.TrimSpace(string(data)), "\n")
	if len(required) < 100 {
		t.Fatalf("the list has %d names only", len(required))
	}
	for _, name := range required {
		if !known[strings.ToLower(strings.TrimSpace(name))] {
			t.Errorf("%s is neither an accepted name nor a synonym", name)
		}
	}
}

// The words that the description of the format lists for people are exactly those
// that reading accepts.
func TestTheReadmeListsTheWordsAllowed(t *testing.T) {
	data, err := os.ReadFile("../../../db/catalogue/README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, text, found := strings.Cut(string(data), "Words allowed:")
	text, _, ended := strings.Cut(text, "\n## ")
	if !found || !ended {
		t.Fatal("no list of words")
	}
	text = regexp.MustCompile(`\([^)]*\)`).ReplaceAllString(text, "") // explanations
	lists := make(map[string][]string)
	for _, part := range strings.Split(text, "·") {
		key, list, _ := strings.Cut(strings.TrimLeft(part, " \n`"), "`")
		for _, w := range strings.Split(list, ",") {
			lists[key] = append(lists[key], strings.Trim(w, " \n."))
		}
	}
	for _, key := range []string{"body_form", "guild", "feeds_by", "active", "availability", "social", "shape", "colours", "needs", "cautions"} {
		accepted := acceptedWords(t, key)
		if slices.Sort(lists[key]); !slices.Equal(lists[key], accepted) {
			t.Errorf("%s: the description lists\n%q\nreading accepts\n%q", key, lists[key], accepted)
		}
	}
}

// acceptedWords takes the words that are accepted from the fault about another.
func acceptedWords(t *testing.T, key string) []string {
	value := "x"
	if key == "colours" || key == "needs" || key == "cautions" {
		value = "[x]"
	}
	_, err := catalogue.ParseFile("f", []byte(head+"  "+key+": "+value+"\n"))
	if err == nil {
		t.Fatalf("%s: x was accepted", key)
	}
	_, list, _ := strings.Cut(err.Error(), "none of: ")
	words := strings.Split(list, ", ")
	slices.Sort(words)
	return words
}

func TestTheReadmeExampleIsReadAndVerified(t *testing.T) {
	data, err := os.ReadFile("../../../db/catalogue/README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, text, _ := strings.Cut(string(data), "```yaml\n")
	text, _, found := strings.Cut(text, "```\n")
	if !found {
		t.Fatal("no example")
	}
	list, err := catalogue.ParseFile("README.md", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range verify.Catalogue(species.Catalogue{Species: list}) {
		if p.Detail != "missing" { // the example shows two traits of all
			t.Error(p)
		}
	}
}
