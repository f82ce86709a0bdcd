package animalstext_test

import (
	"errors"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"commensal/db"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/animalstext"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/species/catalogue/entry"
)

func TestTheProgramCarriesTheListOfTheCatalogue(t *testing.T) {
	list, err := animalstext.Read(db.CatalogueFS())
	if err != nil {
		t.Fatal(err)
	}
	if len(list) == 0 || !reflect.DeepEqual(list, species.OtherAnimals()) {
		t.Error("animals.gen.go is not made of animals.yaml: run make generate")
	}
}

// TestNoFishIsCalledLikeAnotherAnimal looks every name of the list up in the catalogue.
func TestNoFishIsCalledLikeAnotherAnimal(t *testing.T) {
	c, err := builtin.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	s, err := species.NewSnapshot(0, c)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range species.OtherAnimals() {
		for _, name := range a.Names {
			l, known, err := s.Recognise(name)
			if shared := len(l.Meanings) > 0 && a.Kind == species.GoodMarine; shared {
				continue // fish of fresh water go by some of these
			}
			if err != nil || !known || l.Other == nil || l.Other.Animal.Name != a.Name {
				t.Errorf("%q is a name of %s and means %+v %+v (%v)", name, a.Name, l.Meanings, l.Other, err)
			}
		}
	}
}

func TestFaultsNameTheirLines(t *testing.T) {
	const good = "- animal: newt\n  kind: salamander\n  names:\n    en: [newt]\n"
	if list, err := animalstext.Parse("a", []byte(good)); err != nil || len(list) != 1 || list[0].Names[0] != "newt" {
		t.Errorf("%+v %v", list, err)
	}
	if list, err := animalstext.Read(fstest.MapFS{}); list != nil || err != nil {
		t.Errorf("an empty folder: %v %v", list, err)
	}
	for text, want := range map[string]string{
		"animal: newt":     "must be a list",
		"- animal: [newt]": "must be a single value",
		"- animal: newt\n  kind: plant\n  names: {en: [newt]}\n":               "no kind of animal",
		"- animal: newt\n  kind: frog\n":                                       "missing",
		"- animal: newt\n  kind: frog\n  names: {english: [newt]}\n":           "no language tag",
		"- animal: newt\n  kind: frog\n  names: {en: [\"!!\"]}\n":              "no letter or digit",
		good + "- animal: eft\n  kind: frog\n  names: {en: [Newt]}\n":          "name of newt already",
		good + "- animal: newt\n  kind: frog\n  names: {en: [eft]}\n":          "stands in the list already",
		good + "  sentence: No.\n  short: no\n":                                "must have {word}",
		good + "  sentence: \"{word} is a newt.\"\n":                           "come together",
		good + "  sentence: \"{word} is a newt\"\n  short: \"{word}\"\n":       "full stop",
		good + "  short: \"{word} " + strings.Repeat("newt ", 25) + "newt\"\n": "longer than",
		good + "  colour: red\n":                                               "unknown key",
		"- *a\n":                                                               "not YAML",
	} {
		list, err := animalstext.Parse("animals.yaml", []byte(text))
		var faults entry.Errors
		if list != nil || !errors.As(err, &faults) || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "animals.yaml:") {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}
