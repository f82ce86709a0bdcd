package species_test

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/internal/species"
)

func TestResolveFindsTheOneEntryANameMeans(t *testing.T) {
	s := snapshotOf(t, smallCatalogue())
	tests := []struct {
		name, in string
		id       species.ID
		kind     species.MatchKind
		matched  string
	}{
		{"the id", "astronotus-ocellatus", "astronotus-ocellatus", species.MatchID, "astronotus-ocellatus"},
		{"the scientific name", "Astronotus ocellatus", "astronotus-ocellatus", species.MatchScientificName, "Astronotus ocellatus"},
		{"capitals and spaces", "  ASTRONOTUS   OCELLATUS ", "astronotus-ocellatus", species.MatchScientificName, "Astronotus ocellatus"},
		{"underscores", "Astronotus_ocellatus", "astronotus-ocellatus", species.MatchScientificName, "Astronotus ocellatus"},
		{"a no-break space", "Astronotus\u00a0ocellatus", "astronotus-ocellatus", species.MatchScientificName, "Astronotus ocellatus"},
		{"author in parentheses", "Astronotus ocellatus (Agassiz, 1831)", "astronotus-ocellatus", species.MatchScientificName, "Astronotus ocellatus"},
		{"author without parentheses", "Poecilia reticulata Peters 1859", "poecilia-reticulata", species.MatchScientificName, "Poecilia reticulata"},
		{"author in lower case", "poecilia reticulata peters, 1859", "poecilia-reticulata", species.MatchScientificName, "Poecilia reticulata"},
		{"two authors", "Carassius auratus (Cuvier & Valenciennes, 1840)", "carassius-auratus", species.MatchScientificName, "Carassius auratus"},
		{"three authors with initials and particles", "Betta imbellis A. B. Smith, de la Cruz and van der Meer 1975", "betta-imbellis", species.MatchScientificName, "Betta imbellis"},
		{"an author with an accent", "Betta imbellis (Günther in Müller, 1902)", "betta-imbellis", species.MatchScientificName, "Betta imbellis"},
		{"et al.", "Betta imbellis Ladiges et al., 1975", "betta-imbellis", species.MatchScientificName, "Betta imbellis"},
		{"author behind a synonym", "Lebistes reticulatus (Peters, 1859)", "poecilia-reticulata", species.MatchSynonym, "Lebistes reticulatus"},
		{"author behind a trade form", "Carassius auratus fancy (Linnaeus, 1758)", "carassius-auratus-fancy", species.MatchID, "carassius-auratus-fancy"},
		{"abbreviated genus", "A. ocellatus", "astronotus-ocellatus", species.MatchScientificName, "Astronotus ocellatus"},
		{"abbreviated without a space", "A.ocellatus", "astronotus-ocellatus", species.MatchScientificName, "Astronotus ocellatus"},
		{"abbreviated without a stop", "a ocellatus", "astronotus-ocellatus", species.MatchScientificName, "Astronotus ocellatus"},
		{"abbreviated to more letters", "Ast. ocellatus", "astronotus-ocellatus", species.MatchScientificName, "Astronotus ocellatus"},
		{"abbreviated with author", "A. ocellatus (Agassiz, 1831)", "astronotus-ocellatus", species.MatchScientificName, "Astronotus ocellatus"},
		{"abbreviated synonym", "L. reticulatus", "poecilia-reticulata", species.MatchSynonym, "Lebistes reticulatus"},
		{"abbreviated form of a species with a form", "C. auratus", "carassius-auratus", species.MatchScientificName, "Carassius auratus"},
		{"synonym", "corydoras aeneus", "osteogaster-aenea", species.MatchSynonym, "Corydoras aeneus"},
		{"vernacular", "oscar", "astronotus-ocellatus", species.MatchVernacular, "Oscar"},
		{"vernacular in German", "GOLDFISCH", "carassius-auratus", species.MatchVernacular, "Goldfisch"},
		{"sharp s written as two", "grosser segelflosser", "pterophyllum-scalare", species.MatchVernacular, "Großer Segelflosser"},
		{"capital sharp s", "GROẞER SEGELFLOSSER", "pterophyllum-scalare", species.MatchVernacular, "Großer Segelflosser"},
		{"diacritics that are not there", "Gûppý", "poecilia-reticulata", species.MatchVernacular, "Guppy"},
		{"an apostrophe left out", "boesemans rainbowfish", "melanotaenia-boesemani", species.MatchVernacular, "Boeseman's rainbowfish"},
		{"a typographic apostrophe", "Boeseman’s rainbowfish", "melanotaenia-boesemani", species.MatchVernacular, "Boeseman's rainbowfish"},
		{"a hyphen left out", "blood red jewel cichlid", "hemichromis-lifalili", species.MatchVernacular, "Blood-red jewel cichlid"},
		{"plural in s", "oscars", "astronotus-ocellatus", species.MatchVernacular, "Oscar"},
		{"plural in ies", "Guppies", "poecilia-reticulata", species.MatchVernacular, "Guppy"},
		{"plural in es", "goldfishes", "carassius-auratus", species.MatchVernacular, "Goldfish"},
		{"plural of the last word", "neon tetras", "paracheirodon-innesi", species.MatchVernacular, "Neon tetra"},
		{"trade form by id", "carassius-auratus-fancy", "carassius-auratus-fancy", species.MatchID, "carassius-auratus-fancy"},
		{"trade form in words", "Carassius auratus (fancy)", "carassius-auratus-fancy", species.MatchID, "carassius-auratus-fancy"},
		{"the bare name is the parent's", "carassius auratus", "carassius-auratus", species.MatchScientificName, "Carassius auratus"},
		{"a shared synonym is the parent's", "Cyprinus auratus", "carassius-auratus", species.MatchSynonym, "Cyprinus auratus"},
		{"a declared name beats the genus", "betta", "betta-splendens", species.MatchVernacular, "Betta"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m, err := s.Resolve(tt.in)
			if err != nil {
				t.Fatal(err)
			}
			if m.Species.ID != tt.id || m.Kind != tt.kind || m.Matched != tt.matched || m.Input != tt.in || s.At(m.Index) != m.Species {
				t.Errorf("got %s by %s %q at %d", m.Species.ID, m.Kind, m.Matched, m.Index)
			}
		})
	}
}

func TestResolveListsCandidatesForAmbiguousNames(t *testing.T) {
	s := snapshotOf(t, smallCatalogue())
	tests := []struct{ name, in, want string }{
		{"a trade word, in its declared order", "Pleco", "panaqolus-maccus ancistrus-cirrhosus"},
		{"its plural", "plecos", "panaqolus-maccus ancistrus-cirrhosus"},
		{"a trade word that an entry carries as a name", "cory", "osteogaster-aenea hoplisoma-panda corydoras-julii"},
		{"its plural in ies", "cories", "osteogaster-aenea hoplisoma-panda corydoras-julii"},
		{"a shared name without a declared word", "jewel cichlid", "hemichromis-bimaculatus hemichromis-lifalili"},
		{"the plural of a shared name", "Jewel Cichlids", "hemichromis-bimaculatus hemichromis-lifalili"},
		{"a genus", "Hemichromis", "hemichromis-bimaculatus hemichromis-elongatus hemichromis-lifalili"},
		{"a genus with sp.", "Hemichromis sp.", "hemichromis-bimaculatus hemichromis-elongatus hemichromis-lifalili"},
		{"a genus with spp.", "hemichromis SPP", "hemichromis-bimaculatus hemichromis-elongatus hemichromis-lifalili"},
		{"a genus with a single entry", "Astronotus", "astronotus-ocellatus"},
		{"a genus with a form", "Carassius", "carassius-auratus carassius-auratus-fancy"},
		{"a genus that lost its species keeps them by synonym", "Corydoras sp.", "corydoras-julii hoplisoma-panda osteogaster-aenea"},
		{"a genus known from synonyms alone", "Lebistes", "poecilia-reticulata"},
		{"a genus in which a name is declared, with sp.", "Betta sp.", "betta-imbellis betta-splendens"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := s.Resolve(tt.in)
			var ambiguous *species.AmbiguousNameError
			if !errors.As(err, &ambiguous) {
				t.Fatalf("got %v", err)
			}
			if got := joinIDs(ambiguous.Candidates); ambiguous.Name != tt.in || got != tt.want {
				t.Errorf("got %s, want %s", got, tt.want)
			}
			for _, c := range ambiguous.Candidates {
				if c.Score != 1 || c.Matched == "" || c.ScientificName == "" || c.VernacularName == "" {
					t.Errorf("incomplete candidate %+v", c)
				}
			}
		})
	}
}

func TestAGenusThatIsATradeWordKeepsItsDeclaredOrder(t *testing.T) {
	c := smallCatalogue()
	c.Words = append(c.Words, species.GroupWord{Word: "Corydoras", Candidates: []species.ID{"osteogaster-aenea", "corydoras-julii"}})
	s := snapshotOf(t, c)
	for _, in := range []string{"corydoras", "Corydoras sp.", "CORYDORAS spp"} {
		if got := resolveOutcome(t, s, in); got != (outcome{"ambiguous", "osteogaster-aenea corydoras-julii"}) {
			t.Errorf("%q gave %v", in, got)
		}
	}
}

func TestAnAbbreviationThatFitsTwoSpeciesIsAmbiguous(t *testing.T) {
	c := smallCatalogue()
	c.Species = append(c.Species, fish("Aequidens ocellatus", nil), fish("Acarichthys ocellatus", nil))
	s := snapshotOf(t, c)
	if got := resolveOutcome(t, s, "A. ocellatus"); got != (outcome{"ambiguous", "acarichthys-ocellatus aequidens-ocellatus astronotus-ocellatus"}) {
		t.Errorf("got %v", got)
	}
	if got := resolveOutcome(t, s, "As. ocellatus"); got != (outcome{"match", "astronotus-ocellatus"}) {
		t.Errorf("got %v", got)
	}
}

func TestASynonymThatIsAnotherSpeciesNameIsAmbiguous(t *testing.T) {
	c := smallCatalogue()
	c.Species = append(c.Species, fish("Aequidens tetramerus", nil, synonyms("Betta imbellis")))
	s := snapshotOf(t, c)
	if got := resolveOutcome(t, s, "Betta imbellis"); got != (outcome{"ambiguous", "aequidens-tetramerus betta-imbellis"}) {
		t.Errorf("got %v", got)
	}
	if got := resolveOutcome(t, s, "betta-imbellis"); got != (outcome{"match", "betta-imbellis"}) {
		t.Errorf("an exact id must stay an address: got %v", got)
	}
}

func TestUnknownNamesAreNeverGuessed(t *testing.T) {
	s := snapshotOf(t, smallCatalogue())
	tests := []struct {
		name, in string
		near     species.ID // the nearest match, or empty for none
	}{
		{"two letters swapped", "osacr", "astronotus-ocellatus"},
		{"a letter missing", "gupy", "poecilia-reticulata"},
		{"a wrong ending", "Astronotus ocellata", "astronotus-ocellatus"},
		{"a genus misspelt", "Asronotus ocelatus", "astronotus-ocellatus"},
		{"words in another order", "tetra neon", "paracheirodon-innesi"},
		{"a word in front", "albino bristlenose pleco", "ancistrus-cirrhosus"},
		{"a trade word misspelt", "corry", "osteogaster-aenea"},
		{"a name in parentheses is no author", "Carassius auratus (shubunkin)", "carassius-auratus"},
		{"a bare word behind the name is no author", "Poecilia reticulata Peters", "poecilia-reticulata"},
		{"a form before the author is not dropped", "Carassius auratus comet Linnaeus 1758", "carassius-auratus"},
		{"a year that cannot be one", "Poecilia reticulata Peters 1459", "poecilia-reticulata"},
		{"an uncertain identification", "Hemichromis cf. elongatus", "hemichromis-elongatus"},
		{"nothing like any name", "xqzzk vvwq", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := s.Resolve(tt.in)
			var unknown *species.UnknownNameError
			if !errors.As(err, &unknown) || unknown.Name != tt.in {
				t.Fatalf("got %v", err)
			}
			var nearest species.ID
			if len(unknown.Near) > 0 {
				nearest = unknown.Near[0].ID
			}
			if nearest != tt.near || len(unknown.Near) > 5 {
				t.Errorf("got %d near matches, first %q, want %q: %v", len(unknown.Near), nearest, tt.near, err)
			}
			requireRanked(t, unknown.Near)
		})
	}
}

// requireRanked checks that candidates are distinct, scored in [0,1] and sorted.
func requireRanked(t *testing.T, candidates []species.Candidate) {
	t.Helper()
	seen := map[species.ID]bool{}
	for i, c := range candidates {
		if !(c.Score > 0 && c.Score <= 1) || seen[c.ID] || c.Matched == "" {
			t.Errorf("bad candidate %+v", c)
		}
		if i > 0 && c.Score > candidates[i-1].Score {
			t.Errorf("%s stands behind %s with a better score", c.ID, candidates[i-1].ID)
		}
		seen[c.ID] = true
	}
}

func TestTextThatCannotBeANameIsRefused(t *testing.T) {
	s := snapshotOf(t, smallCatalogue())
	for name, in := range map[string]string{
		"nothing":             "",
		"blanks":              "   ",
		"punctuation":         "?!-'",
		"a NUL byte":          "oscar\x00",
		"a line break":        "os\ncar",
		"a C1 control":        "oscar\u0085",
		"broken UTF-8":        "oscar\xff",
		"more than 200 bytes": strings.Repeat("a", 201),
		"a megabyte":          strings.Repeat("ä\x00", 1<<19),
	} {
		t.Run(name, func(t *testing.T) {
			_, err := s.Resolve(in)
			var bad *species.BadNameError
			if !errors.As(err, &bad) || bad.What == "" {
				t.Fatalf("got %.100v", err)
			}
			if utf8.RuneCountInString(bad.Name) > 40 || strings.ContainsAny(bad.Name, "\x00\n") || !utf8.ValidString(bad.Name) {
				t.Errorf("the error repeats %q", bad.Name)
			}
			if got := s.Search(in, 10); got != nil {
				t.Errorf("a search found %v", got)
			}
		})
	}
	if got := resolveOutcome(t, s, strings.Repeat(" ", 195)+"oscar"); got != (outcome{"match", "astronotus-ocellatus"}) {
		t.Errorf("200 bytes are allowed: got %v", got)
	}
}

func TestNameErrorsReadAsSentences(t *testing.T) {
	s := snapshotOf(t, smallCatalogue())
	tests := []struct{ in, want string }{
		{"pleco", `"pleco" does not name one species; it may mean: Panaqolus maccus (Clown pleco), Ancistrus cirrhosus (Bristlenose pleco)`},
		{"xqzzk", `no species is called "xqzzk"`},
		{"gupy", `no species is called "gupy"; near it: Poecilia reticulata (Guppy)`},
		{"a\x00", "\"a\ufffd\" cannot be a species name: it has a control character in it"},
	}
	for _, tt := range tests {
		if _, err := s.Resolve(tt.in); err == nil || err.Error() != tt.want {
			t.Errorf("got %v, want %s", err, tt.want)
		}
	}
}

func TestAnEmptyCatalogueKnowsNothing(t *testing.T) {
	s := snapshotOf(t, species.Catalogue{})
	if got := resolveOutcome(t, s, "oscar"); got.kind != "unknown" {
		t.Errorf("got %v", got)
	}
	if got := s.Search("oscar", 10); len(got) != 0 {
		t.Errorf("got %v", got)
	}
}
