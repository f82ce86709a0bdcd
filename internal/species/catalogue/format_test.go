package catalogue_test

import (
	"bytes"
	"errors"
	"io/fs"
	"math"
	"reflect"
	"strings"
	"testing"

	"commensal/db"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/synthetic"
	"pgregory.net/rapid"
)

func TestFormatIsReadAsTheSameEntries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOfN(cataloguetest.LegalSpecies(), 1, 3).Draw(t, "species")
		text := format(t, want)
		got, err := catalogue.ParseFile("f", []byte(text))
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("the text reads as other entries:\n%s", text)
		}
		if again := format(t, got); again != text {
			t.Fatalf("formatting again changes\n%s\ninto\n%s", text, again)
		}
	})
}

func TestFormatOfTheBuiltInFilesIsStable(t *testing.T) {
	names, err := fs.Glob(db.CatalogueFS(), "species/*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatalf("files %v, %v", names, err)
	}
	for _, name := range names {
		data, err := fs.ReadFile(db.CatalogueFS(), name)
		if err != nil {
			t.Fatal(err)
		}
		list, err := catalogue.ParseFile(name, data)
		if err != nil {
			t.Fatal(err)
		}
		text := format(t, list)
		again, err := catalogue.ParseFile(name, []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(again, list) || format(t, again) != text {
			t.Errorf("%s: the canonical text is not stable", name)
		}
	}
}

func TestFormatWritesTheTextOfTheReadme(t *testing.T) {
	list, err := catalogue.ParseFile("f", []byte(smallFile+"    group_min: 6 10 20 fish memory\n  zones: .25 0.50 0.25 memory\n"))
	if err != nil {
		t.Fatal(err)
	}
	want := strings.Replace(smallFile, "# A comment.\n", "", 1) + "    group_min: 6 10 20 fish memory\n  zones: 0.25 0.5 0.25 memory\n"
	if got := format(t, list); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestFormatPutsABlankLineBetweenEntries(t *testing.T) {
	got := format(t, []*species.Species{cataloguetest.Named("Parvus rapidus"), cataloguetest.Named("Parvus celer")})
	want := "- scientific_name: Parvus rapidus\n  sexed_in_trade: false\n\n- scientific_name: Parvus celer\n  sexed_in_trade: false\n"
	if got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestFormatGathersNamesByLanguage(t *testing.T) {
	s := cataloguetest.Named("Parvus rapidus")
	s.Names = []species.Name{{Language: "en", Text: "One"}, {Language: "de", Text: "Eins"}, {Language: "en", Text: "Another"}}
	if got := format(t, []*species.Species{s}); !strings.Contains(got, "    en: [One, Another]\n    de: [Eins]\n") {
		t.Errorf("got\n%s", got)
	}
}

func TestFormatRefusesWhatTheTextCannotHold(t *testing.T) {
	for name, change := range map[string]func(*species.Species){
		"another id":              func(s *species.Species) { s.ID = "other" },
		"no name":                 func(s *species.Species) { s.ScientificName = "" },
		"a line break":            func(s *species.Species) { s.Note = "a\nb" },
		"a paragraph separator":   func(s *species.Species) { s.Note = "a\u2029b" },
		"broken UTF-8":            func(s *species.Species) { s.Note = "a\xffb" },
		"a blank at the end":      func(s *species.Species) { s.Family = "Parvidae " },
		"an unknown word":         func(s *species.Species) { s.Guild = "gourmet" },
		"an empty item":           func(s *species.Species) { s.Synonyms = []string{""} },
		"an item twice":           func(s *species.Species) { s.Needs = []string{"sand", "sand"} },
		"a bad language":          func(s *species.Species) { s.Names = []species.Name{{Language: "x", Text: "a"}} },
		"a negative number":       func(s *species.Species) { s.Traits[species.Length] = cataloguetest.Value(-1, 2, 3) },
		"not a number":            func(s *species.Species) { s.Traits[species.Length] = cataloguetest.Value(1, math.NaN(), 3) },
		"infinity":                func(s *species.Species) { s.Traits[species.Length] = cataloguetest.Value(1, 2, math.Inf(1)) },
		"falling numbers":         func(s *species.Species) { s.Traits[species.Length] = cataloguetest.Value(3, 2, 1) },
		"a basis with a blank":    func(s *species.Species) { s.Zones.Basis = "source:a b" },
		"a basis of another kind": func(s *species.Species) { s.Basis = "rumour" },
	} {
		good, bad := cataloguetest.Named("Parvus celer"), cataloguetest.Named("Parvus rapidus")
		change(bad)
		var b bytes.Buffer
		if err := catalogue.Format(&b, []*species.Species{good, bad}); !errors.Is(err, entry.ErrNotText) || b.Len() > 0 {
			t.Errorf("%s: error %v and %d bytes written, want ErrNotText and none", name, err, b.Len())
		}
	}
}

func TestFormatLeavesTheSpeciesAlone(t *testing.T) {
	list, want := synthetic.Catalogue(5, 20).Species, synthetic.Catalogue(5, 20).Species
	format(t, list)
	if !reflect.DeepEqual(list, want) {
		t.Error("formatting changed the entries")
	}
}

func TestFormatPassesOnErrorsOfTheWriter(t *testing.T) {
	if err := catalogue.Format(cataloguetest.FullDisk{}, synthetic.Catalogue(1, 1).Species); !errors.Is(err, cataloguetest.ErrFull) {
		t.Errorf("error %v, want the writer's", err)
	}
}

// format gives the text of entries.
func format(t interface{ Fatal(...any) }, list []*species.Species) string {
	var b bytes.Buffer
	if err := catalogue.Format(&b, list); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestWordsAndSourcesAreReadAsWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var want species.Catalogue
		for _, word := range cataloguetest.TextList(t, "words") {
			want.Words = append(want.Words, species.GroupWord{Word: word, Candidates: []species.ID{"parvus-rapidus", "parvus-celer"}})
		}
		for _, key := range rapid.SliceOfNDistinct(rapid.StringMatching(`[A-Za-z0-9._-]{1,6}`), 0, 3, rapid.ID).Draw(t, "keys") {
			want.Sources = append(want.Sources, species.Source{Key: key, Citation: cataloguetest.LegalText().Draw(t, "citation")})
		}
		var words, sources bytes.Buffer
		if err := errors.Join(catalogue.FormatWords(&words, want.Words), catalogue.FormatSources(&sources, want.Sources)); err != nil {
			t.Fatal(err)
		}
		got, err := catalogue.Parse(cataloguetest.Folder("species/a.yaml", head, "words.yaml", words.String(), "sources.yaml", sources.String()))
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got.Words, want.Words) || !reflect.DeepEqual(got.Sources, want.Sources) {
			t.Errorf("got %v %v, want %v %v", got.Words, got.Sources, want.Words, want.Sources)
		}
	})
}

func TestWordsAndSourcesThatAreNoTextAreRefused(t *testing.T) {
	var b bytes.Buffer
	for name, err := range map[string]error{
		"no candidates":     catalogue.FormatWords(&b, []species.GroupWord{{Word: "a"}}),
		"an empty word":     catalogue.FormatWords(&b, []species.GroupWord{{Candidates: []species.ID{"a"}}}),
		"a word twice":      catalogue.FormatWords(&b, []species.GroupWord{{Word: "a", Candidates: []species.ID{"b"}}, {Word: "a", Candidates: []species.ID{"b"}}}),
		"no citation":       catalogue.FormatSources(&b, []species.Source{{Key: "a"}}),
		"a key with blanks": catalogue.FormatSources(&b, []species.Source{{Key: "a b", Citation: "c"}}),
	} {
		if !errors.Is(err, entry.ErrNotText) || b.Len() > 0 {
			t.Errorf("%s: error %v, %d bytes written", name, err, b.Len())
		}
	}
}
