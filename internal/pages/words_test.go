package pages

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"commensal/internal/pages/words"
)

// TestEveryPhraseIsThereAndUsed looks through the templates and the code for keys.
func TestEveryPhraseIsThereAndUsed(t *testing.T) {
	w := words.English()
	var source strings.Builder
	for _, pattern := range []string{"*.go", "pictures/*.go", "templates/*.html"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			text, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasSuffix(f, "_test.go") {
				source.Write(text)
			}
		}
	}
	text := source.String()
	for _, m := range regexp.MustCompile(`(?:[sS]ay|Count|band|add) ?\(?"([a-zA-Z_]+(?:\.[a-z0-9_]+)+)"`).FindAllStringSubmatch(text, -1) {
		if !w.Has(m[1]) && !w.Has(m[1]+".one") {
			t.Errorf("no phrase for %s", m[1])
		}
	}
	for _, key := range w.Keys() {
		stem := key[:strings.LastIndexByte("."+key, '.')]
		if !strings.Contains(text, `"`+key) && (stem == "" || !strings.Contains(text, `"`+strings.TrimSuffix(stem, ".")+".")) &&
			!strings.Contains(text, strings.TrimSuffix(strings.TrimSuffix(key, ".one"), ".many")+`"`) && !strings.HasPrefix(key, "reason.") {
			t.Errorf("nothing says %s", key)
		}
	}
}

func TestEveryCodeIsExplained(t *testing.T) {
	q := &request{Pages: sharedPages()}
	for _, g := range q.reasonGroups() {
		for _, l := range g.Links {
			r := get(t, sharedPages(), l.Path)
			if r.StatusCode != 200 || strings.Contains(l.Label, "_") {
				t.Errorf("%s (%s): %d", l.Path, l.Label, r.StatusCode)
			}
		}
	}
}

// TestEveryFindingHasItsPage reads the codes of findings out of package stocking, so that a
// new one is explained before it is shown.
func TestEveryFindingHasItsPage(t *testing.T) {
	files, err := filepath.Glob("../stocking/*.go")
	if err != nil || len(files) == 0 {
		t.Fatal("package stocking is not where it was")
	}
	found := 0
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`(?m)^\t[A-Z]\w* +Code += "([a-z_]+)"`).FindAllStringSubmatch(string(text), -1) {
			found++
			if r := get(t, sharedPages(), "/reasons/"+m[1]); r.StatusCode != 200 || !slices.Contains(findingCodes, m[1]) {
				t.Errorf("%s: the code %s has no page, or is not listed", f, m[1])
			}
		}
	}
	if found < 30 {
		t.Errorf("%d codes", found)
	}
}
