package species_test

import (
	"testing"

	"commensal/internal/species"
)

func TestSearchRanksWhatFitsBest(t *testing.T) {
	s := snapshotOf(t, smallCatalogue())
	tests := []struct {
		name, q string
		limit   int
		want    string
	}{
		{"an exact name first, then names that begin with it", "neon", 10, "paracheirodon-innesi paracheirodon-axelrodi"},
		{"the beginning of a name", "astro", 10, "astronotus-ocellatus"},
		{"the beginning of a later word", "segel", 10, "pterophyllum-scalare"},
		{"words in any order", "cichlid jewel", 2, "hemichromis-bimaculatus hemichromis-lifalili"},
		{"a word and the beginning of another", "jewel af", 1, "hemichromis-bimaculatus"},
		{"a trade word stands for its candidates", "plecos", 10, "panaqolus-maccus ancistrus-cirrhosus"},
		{"so does its beginning", "plec", 2, "panaqolus-maccus ancistrus-cirrhosus"},
		{"a genus stands for its species", "Betta", 2, "betta-splendens betta-imbellis"},
		{"an abbreviated name", "A. ocellatus", 1, "astronotus-ocellatus"},
		{"a name with author", "Poecilia reticulata Peters 1859", 1, "poecilia-reticulata"},
		{"a slip of the pen", "osacr", 10, "astronotus-ocellatus"},
		{"two slips in a long name", "pterophylum skalare", 10, "pterophyllum-scalare"},
		{"diacritics", "GRÖSSER SEG", 10, "pterophyllum-scalare"},
		{"a name from another language", "kampffisch", 10, "betta-imbellis betta-splendens"},
		{"the limit, the name best covered first", "a", 1, "pterophyllum-scalare"},
		{"a limit of none", "oscar", 0, ""},
		{"a negative limit", "oscar", -1, ""},
		{"nothing like it", "xqzzk", 10, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := s.Search(tt.q, tt.limit)
			if joinIDs(got) != tt.want {
				t.Errorf("got %+v, want %s", got, tt.want)
			}
			requireRanked(t, got)
		})
	}
}

func TestSearchTellsWhichNameMatched(t *testing.T) {
	s := snapshotOf(t, smallCatalogue())
	got := s.Search("roter n", 1)
	want := species.Candidate{
		ID: "paracheirodon-axelrodi", ScientificName: "Paracheirodon axelrodi", VernacularName: "Cardinal tetra",
		Matched: "Roter Neon",
	}
	if len(got) != 1 {
		t.Fatalf("got %v", got)
	}
	want.Score = got[0].Score
	if got[0] != want {
		t.Errorf("got %+v, want %+v", got[0], want)
	}
}
