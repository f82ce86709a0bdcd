package published_test

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"commensal/internal/species/catalogue/published"
)

// The tables of testdata, with what is known to be so of each: a field guide's giants are river fish, laboratories keep
// minnows warm and a strain of the turquoise killifish that lives for twelve weeks, growth curves do not say their kind of length, and a check list
// has the lengths of wild angelfish and of museum specimens.
func TestPublishedTables(t *testing.T) {
	for file, want := range map[string]struct {
		agrees, incomparable, notFound int
		differs                        []string
	}{
		"north-america.csv": {26, 0, 1, []string{"lepomis-gibbosus length below"}},
		"laboratory.csv":    {4, 0, 0, []string{"nothobranchius-furzeri lifespan above", "pimephales-promelas water temperature below"}},
		"growth.csv":        {1, 3, 1, nil},
		"aquaculture.csv":   {14, 0, 0, nil},
		"checklists.csv":    {12, 0, 0, []string{"pterophyllum-scalare length above", "apistogramma-agassizii length above"}},
	} {
		t.Run(file, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join("testdata", file))
			if err != nil {
				t.Fatal(err)
			}
			r := compare(t, string(data))
			count := map[published.Outcome]int{}
			var differs []string
			for _, f := range r.Findings {
				count[f.Outcome]++
				if f.Outcome == published.Differs {
					differs = append(differs, string(f.Species)+" "+f.Field+" "+f.Side)
				}
			}
			if count[published.Agrees] != want.agrees || count[published.NotComparable] != want.incomparable || len(r.NotFound) != want.notFound {
				t.Errorf("%v, not found %v", count, r.NotFound)
			}
			if !slices.Equal(differs, want.differs) {
				t.Errorf("differ %v, want %v", differs, want.differs)
			}
		})
	}
}
