package species_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"commensal/internal/species"
)

func TestASnapshotListsEntriesByID(t *testing.T) {
	s := snapshotOf(t, smallCatalogue())
	if s.Revision() != 7 || s.Len() != 20 {
		t.Errorf("got revision %d with %d entries", s.Revision(), s.Len())
	}
	for i := range s.Len() {
		if i > 0 && s.At(i-1).ID >= s.At(i).ID {
			t.Errorf("%s stands before %s", s.At(i-1).ID, s.At(i).ID)
		}
		index, ok1 := s.Index(s.At(i).ID)
		entry, ok2 := s.ByID(s.At(i).ID)
		if index != i || entry != s.At(i) || !ok1 || !ok2 {
			t.Errorf("%s is not found by its id", s.At(i).ID)
		}
	}
	if _, ok := s.ByID("salmo-trutta"); ok {
		t.Error("an id that is not there was found")
	}
	if _, ok := s.Index(""); ok {
		t.Error("the empty id was found")
	}
}

func TestASnapshotDoesNotFollowItsCatalogue(t *testing.T) {
	c := smallCatalogue()
	s := snapshotOf(t, c)
	c.Species[0], c.Words[0].Candidates[0], c.Sources[0].Key = nil, "x", "x"
	s.Sources()[0].Key = "y"
	s.Words()[0].Candidates[0] = "y"
	if got := s.Sources(); got[0].Key != "a" || got[1].Key != "b" {
		t.Errorf("sources changed: %v", got)
	}
	words := s.Words()
	if words[0].Word != "cory" || words[1].Candidates[0] != "panaqolus-maccus" || words[0].Candidates[0] != "osteogaster-aenea" {
		t.Errorf("words changed: %v", words)
	}
	if slices.Contains(ids(s), "") {
		t.Error("entries changed")
	}
}

func ids(s *species.Snapshot) []species.ID {
	var out []species.ID
	for i := range s.Len() {
		out = append(out, s.At(i).ID)
	}
	return out
}

func TestACatalogueThatCannotBeIndexedIsRefused(t *testing.T) {
	tests := []struct {
		name, entry string
		change      func(*species.Catalogue)
	}{
		{"an id used twice", "betta-imbellis", func(c *species.Catalogue) {
			c.Species = append(c.Species, fish("Betta imbellis", nil))
		}},
		{"a missing entry", "", func(c *species.Catalogue) { c.Species = append(c.Species, nil) }},
		{"an entry without an id", "", func(c *species.Catalogue) { c.Species[0].ID = "" }},
		{"an entry without a scientific name", "poecilia-reticulata", func(c *species.Catalogue) { c.Species[0].ScientificName = "" }},
		{"a name without letters", "poecilia-reticulata", func(c *species.Catalogue) { c.Species[0].Names[0].Text = "!" }},
		{"a name with a control character", "poecilia-reticulata", func(c *species.Catalogue) { c.Species[0].Synonyms[0] = "a\x00" }},
		{"a name too long to look up", "poecilia-reticulata", func(c *species.Catalogue) {
			c.Species[0].Names[0].Text = strings.Repeat("a", species.MaxName+1)
		}},
		{"a form without its parent", "poecilia-reticulata", func(c *species.Catalogue) { c.Species[0].FormOf = "poecilia" }},
		{"a form of itself", "poecilia-reticulata", func(c *species.Catalogue) { c.Species[0].FormOf = c.Species[0].ID }},
		{"a word without candidates", "pleco", func(c *species.Catalogue) { c.Words[0].Candidates = nil }},
		{"a word with an unknown candidate", "pleco", func(c *species.Catalogue) { c.Words[0].Candidates[0] = "x" }},
		{"a word with a candidate twice", "pleco", func(c *species.Catalogue) {
			c.Words[0].Candidates[0] = c.Words[0].Candidates[1]
		}},
		{"a word declared twice", "pleco", func(c *species.Catalogue) {
			c.Words = append(c.Words, species.GroupWord{Word: "PLECO", Candidates: []species.ID{"betta-imbellis"}})
		}},
		{"a word without letters", "?", func(c *species.Catalogue) { c.Words[0].Word = "?" }},
		{"a word that is a scientific name", "Betta Imbellis", func(c *species.Catalogue) { c.Words[0].Word = "Betta Imbellis" }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := smallCatalogue()
			tt.change(&c)
			_, err := species.NewSnapshot(1, c)
			var fault *species.CatalogueError
			if !errors.As(err, &fault) || fault.Entry != tt.entry || fault.What == "" {
				t.Errorf("got %v, want a CatalogueError about %q", err, tt.entry)
			}
		})
	}
}

func TestMakeID(t *testing.T) {
	tests := []struct {
		name, form string
		want       species.ID
	}{
		{"Astronotus ocellatus", "", "astronotus-ocellatus"},
		{"Carassius auratus", "fancy", "carassius-auratus-fancy"},
		{"Betta splendens", "Male only", "betta-splendens-male-only"},
		{"  Corydoras  sp. 'CW010' ", "", "corydoras-sp-cw010"},
		{"Àé ø", "", "ae-o"},
		{"", "", ""},
	}
	for _, tt := range tests {
		if got := species.MakeID(tt.name, tt.form); got != tt.want {
			t.Errorf("%q with form %q gave %q, want %q", tt.name, tt.form, got, tt.want)
		}
	}
}
