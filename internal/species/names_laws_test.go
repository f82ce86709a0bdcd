package species_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"commensal/internal/species"
)

var (
	someGenera   = []string{"Betta", "Danio", "Astronotus", "Carassius", "Tórus"}
	someEpithets = []string{"auratus", "ocellatus", "rerio", "maior"}
	someWords    = []string{"red", "Oscar", "goldfish", "Boeseman's", "cory", "Tigré", "ies", "sp", "Große", "金魚", "blå-øje", "as", "Danio"}
	someForms    = []string{"fancy", "koi"}
)

// drawCatalogue makes small catalogues full of shared names.
func drawCatalogue(t *rapid.T) species.Catalogue {
	var c species.Catalogue
	used := map[species.ID]bool{}
	add := func(s *species.Species) {
		if !used[s.ID] {
			used[s.ID] = true
			c.Species = append(c.Species, s)
		}
	}
	scientific := rapid.Custom(func(t *rapid.T) string {
		return rapid.SampledFrom(someGenera).Draw(t, "genus") + " " + rapid.SampledFrom(someEpithets).Draw(t, "epithet")
	})
	vernacular := rapid.Custom(func(t *rapid.T) string {
		return strings.Join(rapid.SliceOfN(rapid.SampledFrom(someWords), 1, 3).Draw(t, "words"), " ")
	})
	for range rapid.IntRange(1, 8).Draw(t, "species") {
		s := fish(scientific.Draw(t, "name"), rapid.SliceOfN(vernacular, 0, 3).Draw(t, "vernaculars"),
			synonyms(rapid.SliceOfN(scientific, 0, 2).Draw(t, "synonyms")...))
		add(s)
		if rapid.Bool().Draw(t, "has a form") {
			add(fish(s.ScientificName, rapid.SliceOfN(vernacular, 0, 2).Draw(t, "form names"),
				formOf(s.ID, rapid.SampledFrom(someForms).Draw(t, "form")), synonyms(s.Synonyms...)))
		}
	}
	for _, w := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"cory", "red oscar", "goldfish"}), 0, 2, rapid.ID).Draw(t, "group words") {
		n := rapid.IntRange(1, len(c.Species)).Draw(t, "candidates")
		g := species.GroupWord{Word: w}
		for _, s := range rapid.Permutation(c.Species).Draw(t, "order")[:n] {
			g.Candidates = append(g.Candidates, s.ID)
		}
		c.Words = append(c.Words, g)
	}
	return c
}

func drawSnapshot(t *rapid.T, c species.Catalogue) *species.Snapshot {
	s, err := species.NewSnapshot(1, c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// namesOf lists all names of an entry that may be looked up for it.
func namesOf(s *species.Species) []string {
	names := append([]string{string(s.ID)}, s.Synonyms...)
	for _, n := range s.Names {
		names = append(names, n.Text)
	}
	return append(names, s.ScientificName)
}

func TestEveryNameLeadsToItsSpeciesOrIsAmbiguousWithIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCatalogue(t)
		s := drawSnapshot(t, c)
		for _, entry := range c.Species {
			for _, name := range namesOf(entry) {
				m, err := s.Resolve(name)
				if err == nil && (m.Species.ID == entry.ID || m.Species.ID == entry.FormOf && m.Kind != species.MatchVernacular) {
					continue
				}
				if got := resolveAll(t, s, name); !slices.Contains(got, string(entry.ID)) && !slices.Contains(got, string(entry.FormOf)) {
					t.Fatalf("%q of %s gave %v (%v)", name, entry.ID, got, err)
				}
			}
		}
	})
}

func resolveAll(t *rapid.T, s *species.Snapshot, name string) []string {
	o := outcomeOf(t, s, name)
	return append(strings.Fields(o.ids), o.kind)
}

func outcomeOf(t *rapid.T, s *species.Snapshot, name string) outcome {
	m, err := s.Resolve(name)
	switch e := err.(type) {
	case nil:
		return outcome{"match", string(m.Species.ID)}
	case *species.AmbiguousNameError:
		return outcome{"ambiguous", joinIDs(e.Candidates)}
	case *species.UnknownNameError:
		return outcome{"unknown", fmt.Sprint(e.Near)}
	case *species.BadNameError:
		return outcome{"bad", e.What}
	}
	t.Fatalf("%q gave an error of type %T", name, err)
	return outcome{}
}

// disguise changes what must not matter: case, diacritics, spacing, separators.
func disguise(t *rapid.T, name string) string {
	var b strings.Builder
	for _, r := range name {
		ch := string(r)
		switch rapid.IntRange(0, 5).Draw(t, "case") {
		case 0:
			ch = strings.ToUpper(ch)
		case 1:
			ch = strings.ToLower(ch)
		}
		if r == ' ' || r == '-' {
			ch = rapid.SampledFrom([]string{" ", "-", "_", "  ", " - ", "\u00a0", "\u2013"}).Draw(t, "separator")
		} else if strings.ContainsAny(ch, "aeiouAEIOU") && rapid.IntRange(0, 4).Draw(t, "accent") == 0 {
			ch += rapid.SampledFrom([]string{"\u0301", "\u0308", "\u0302"}).Draw(t, "mark")
		} else if r == '\'' {
			ch = rapid.SampledFrom([]string{"", "'", "’", "`", "´"}).Draw(t, "apostrophe")
		}
		b.WriteString(ch)
	}
	return rapid.SampledFrom([]string{"", " ", "\u00a0"}).Draw(t, "front") + b.String() + rapid.SampledFrom([]string{"", " "}).Draw(t, "end")
}

func TestCaseDiacriticsAndSpacingDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCatalogue(t)
		s := drawSnapshot(t, c)
		entry := rapid.SampledFrom(c.Species).Draw(t, "entry")
		name := rapid.SampledFrom(namesOf(entry)).Draw(t, "name")
		other := disguise(t, name)
		for _, exact := range []string{name, other} {
			if _, ok := s.ByID(species.ID(exact)); ok {
				return // an exact id is an address, even where the words it is made of are ambiguous
			}
		}
		if a, b := outcomeOf(t, s, name), outcomeOf(t, s, other); a != b {
			t.Fatalf("%q gave %v, %q gave %v", name, a, other, b)
		}
	})
}

func TestTheOrderOfACatalogueDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCatalogue(t)
		shuffled := species.Catalogue{
			Species: rapid.Permutation(c.Species).Draw(t, "species order"),
			Words:   rapid.Permutation(c.Words).Draw(t, "word order"),
		}
		a, b := drawSnapshot(t, c), drawSnapshot(t, shuffled)
		queries := append([]string{"oscr", "goldfishes", "B. rerio", "d"}, someGenera...)
		for _, entry := range c.Species {
			queries = append(queries, namesOf(entry)...)
		}
		for _, q := range queries {
			if x, y := outcomeOf(t, a, q), outcomeOf(t, b, q); x != y {
				t.Fatalf("%q gave %v and %v", q, x, y)
			}
			if x, y := a.Search(q, 5), b.Search(q, 5); !slices.Equal(x, y) {
				t.Fatalf("a search for %q gave %v and %v", q, x, y)
			}
		}
	})
}

func TestATradeWordForSeveralNeverResolves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCatalogue(t)
		s := drawSnapshot(t, c)
		for _, w := range c.Words {
			var declared []string
			for _, id := range w.Candidates {
				declared = append(declared, string(id))
			}
			for _, spelling := range []string{w.Word, strings.ToUpper(w.Word), disguise(t, w.Word)} {
				o := outcomeOf(t, s, spelling)
				if len(declared) == 1 && o.kind != "ambiguous" {
					if o.ids != declared[0] {
						t.Fatalf("%q gave %v, want %v alone", spelling, o, declared)
					}
					continue
				}
				if o.kind != "ambiguous" || !strings.HasPrefix(o.ids+" ", strings.Join(declared, " ")+" ") {
					t.Fatalf("%q gave %v, want %v first", spelling, o, declared)
				}
			}
		}
	})
}

func TestWhatResolvesIsFoundFirst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCatalogue(t)
		s := drawSnapshot(t, c)
		entry := rapid.SampledFrom(c.Species).Draw(t, "entry")
		name := rapid.SampledFrom(namesOf(entry)).Draw(t, "name")
		if _, ok := s.ByID(species.ID(name)); ok {
			return
		}
		o := outcomeOf(t, s, name)
		got := s.Search(name, s.Len())
		if o.kind == "unknown" || !strings.HasPrefix(joinIDs(got)+" ", o.ids+" ") {
			t.Fatalf("%q resolves to %v, the search gave %s", name, o, joinIDs(got))
		}
	})
}
