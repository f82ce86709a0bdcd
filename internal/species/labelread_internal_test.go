package species

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestWhatCannotBeANameIsNone holds the quick look at a run of words against reading it.
func TestWhatCannotBeANameIsNone(t *testing.T) {
	entries := []*Species{}
	for _, name := range []string{"Astronotus ocellatus", "Hoplisoma sterbai", "Panaqolus maccus", "Phenacogrammus interruptus"} {
		entries = append(entries, &Species{ID: MakeID(name, ""), ScientificName: name})
	}
	entries[0].Names = []Name{{Language: "en", Text: "Oscar"}}
	entries[1].Names = []Name{{Language: "en", Text: "Sterba's cory"}}
	entries[2].Names = []Name{{Language: "en", Text: "Clown pleco"}, {Language: "ja", Text: "クラウンプレコ"}}
	entries[3].Names = []Name{{Language: "en", Text: "Congo tetra"}}
	s := &Snapshot{entries: entries, index: map[ID]int{}}
	for i, e := range entries {
		s.index[e.ID] = i
	}
	names, err := buildNames(s)
	if err != nil {
		t.Fatal(err)
	}
	words := strings.Fields("a p astronotus ocellatus oscar oscars sterbas sterba sterbai cory corydoras cories catfish cat clown pleco plecs plecostomus クラウンプレコ congo congos tetra tetras " +
		"sp spp species agassiz 1831 heater 250 xl gold zzz ss ocellatuses")
	found, quick := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		run := rapid.SliceOfN(rapid.SampledFrom(words), 1, 4).Draw(t, "run")
		claims := names.head(strings.Join(run, " "))
		may := mayBeName(run, names.inNames(run))
		if len(claims) > 0 && !may {
			t.Fatalf("%q is a name: %v", run, claims)
		}
		if len(claims) > 0 {
			found++
		}
		if !may {
			quick++
		}
	})
	if found == 0 || quick == 0 {
		t.Errorf("%d names, %d runs that cannot be one", found, quick)
	}
}

// TestNounsAreIndexedAsTheyStand holds the index of nouns against a look through all names.
func TestNounsAreIndexedAsTheyStand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var entries []*Species
		for range rapid.IntRange(0, 12).Draw(t, "kinds") {
			e := &Species{Family: rapid.SampledFrom([]string{"Characidae", "Cichlidae"}).Draw(t, "family")}
			for range rapid.IntRange(0, 3).Draw(t, "names") {
				e.Names = append(e.Names, Name{Language: rapid.SampledFrom([]string{"en", "fr"}).Draw(t, "language"),
					Text: rapid.SampledFrom([]string{"neon tetra", "Black Tetra", "tetra", "tetra rouge", "convict cichlid", "bleeding-heart tetra"}).Draw(t, "name")})
			}
			entries = append(entries, e)
		}
		s := &Snapshot{names: &nameTable{nouns: func() map[string]nounUse { return indexNouns(entries) }}}
		for _, w := range []string{"tetra", "cichlid", "neon", "rouge", ""} {
			for _, family := range []string{"Characidae", "Cichlidae"} {
				kinds, ofFamily := 0, false
				for _, e := range entries {
					if w != "" && slices.ContainsFunc(e.Names, func(n Name) bool { return nounOf(n) == w }) {
						kinds++
						ofFamily = ofFamily || e.Family == family
					}
				}
				if got, want := s.isNounOf(family, w), ofFamily && kinds >= 4; got != want {
					t.Fatalf("%q of %s in %d kinds: %v", w, family, kinds, got)
				}
			}
		}
	})
}
