package species

import (
	"slices"
	"strings"
	"testing"
	"unicode"

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

// asciiTable is all of ASCII but control characters, which no name has.
var asciiTable = &unicode.RangeTable{R16: []unicode.Range16{{Lo: ' ', Hi: '~', Stride: 1}}}

// TestPlainTextFoldsAsAnyTextDoes holds the short way for ASCII against the long one.
func TestPlainTextFoldsAsAnyTextDoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom(nil, asciiTable)).Draw(t, "text")
		if a, b := fold(text), foldAny(text); a != b {
			t.Fatalf("%q folds to %q and %q", text, a, b)
		}
	})
	if fold("Größer") != foldAny("Größer") || slices.Equal([]rune(fold("É")), []rune("É")) {
		t.Error("other letters are not folded")
	}
}
