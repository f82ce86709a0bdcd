package synthetic_test

import (
	"reflect"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/species/synthetic"
	"pgregory.net/rapid"
)

func TestCatalogueIsVerifiable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := synthetic.Catalogue(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(0, 120).Draw(t, "n"))
		for _, p := range verify.Catalogue(c) {
			t.Error(p)
		}
	})
}

func TestCatalogueHasAsManyEntriesAsAskedFor(t *testing.T) {
	for _, tt := range []struct{ ask, want int }{{-1, 0}, {0, 0}, {1, 1}, {500, 500}, {5000, 5000}} {
		c := synthetic.Catalogue(1, tt.ask)
		ids := make(map[species.ID]bool)
		for _, s := range c.Species {
			ids[s.ID] = true
		}
		if len(c.Species) != tt.want || len(ids) != tt.want {
			t.Errorf("Catalogue(1, %d) has %d entries with %d ids, want %d", tt.ask, len(c.Species), len(ids), tt.want)
		}
	}
}

func TestCatalogueDependsOnItsSeedOnly(t *testing.T) {
	a, b, other := synthetic.Catalogue(7, 50), synthetic.Catalogue(7, 50), synthetic.Catalogue(8, 50)
	if !reflect.DeepEqual(a, b) {
		t.Error("the same seed gave two catalogues")
	}
	if reflect.DeepEqual(a, other) {
		t.Error("two seeds gave the same catalogue")
	}
}

func TestALongerCatalogueBeginsWithTheShorterOne(t *testing.T) {
	short, long := synthetic.Catalogue(3, 20), synthetic.Catalogue(3, 60)
	if !reflect.DeepEqual(short.Species, long.Species[:20]) {
		t.Error("the first 20 of 60 entries are not the 20 of the shorter catalogue")
	}
}

func TestTheKindsDiffer(t *testing.T) {
	predators, shoalers := 0, 0
	for _, s := range synthetic.Catalogue(1, 80).Species {
		if s.Traits[species.Piscivory].Typical >= 0.85 {
			predators++
		}
		if s.Social == species.Group {
			shoalers++
		}
	}
	if predators != 10 || shoalers != 30 {
		t.Errorf("%d predators and %d shoalers among 80, want 10 and 30", predators, shoalers)
	}
}

func TestWordsNameTheEntriesOfAKind(t *testing.T) {
	c := synthetic.Catalogue(1, 17)
	if len(c.Words) != 8 {
		t.Fatalf("%d words, want one for each of the 8 kinds", len(c.Words))
	}
	if got := len(c.Words[0].Candidates); got != 3 {
		t.Errorf("%q has %d candidates among 17 entries, want 3", c.Words[0].Word, got)
	}
}
