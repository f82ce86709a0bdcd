package stocking_test

import (
	"strings"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/law"
	"commensal/internal/stocking"
	"commensal/internal/stocking/testfish"
)

// inRegion assesses six of a kind where the seller is.
func inRegion(t *testing.T, id species.ID, region string) *stocking.Assessment {
	t.Helper()
	book := testfish.Book(t)
	i, ok := book.Snapshot.Index(id)
	if !ok {
		t.Fatalf("no %s", id)
	}
	j := stocking.NewAssessment(book, &stocking.Stock{Region: region, Wanted: conflict.Moderate, Lines: []stocking.Line{{Index: i, Count: 6}}})
	j.Judge()
	return j
}

func TestTheLawOfTheRegionHolds(t *testing.T) {
	for _, tt := range []struct {
		kind   species.ID
		region string
		want   stocking.Code // empty: no matter of law
	}{
		{"procambarus-clarkii", "Germany", stocking.LawForbids},
		{"procambarus-clarkii", "Northern Ireland", stocking.LawForbids},
		{"cyprinus-rubrofuscus", "NZ", stocking.LawForbids},
		{"cherax-destructor", "GB", stocking.LawPermit},
		{"lepisosteus-oculatus", "Japan", stocking.LawForbids},
		{"acipenser-ruthenus", "GB", stocking.LawPermit},
		{"danio-rerio", "Germany", ""},
		{"danio-rerio", "AU", ""},
		{"danio-rerio", "", ""},
	} {
		var got stocking.Code
		for _, f := range inRegion(t, tt.kind, tt.region).Findings {
			switch f.Code() {
			case stocking.LawForbids, stocking.LawPermit, stocking.LawUnknown:
				got = f.Code()
			}
		}
		if got != tt.want {
			t.Errorf("%s in %q: %q, want %q", tt.kind, tt.region, got, tt.want)
		}
	}
}

func TestTheCautionNamesTheRule(t *testing.T) {
	texts := func(region string) string {
		var out []string
		for _, n := range inRegion(t, "hypancistrus-zebra", region).Cautions() {
			out = append(out, n.Text)
		}
		return strings.Join(out, "\n")
	}
	if got := texts("France"); !strings.Contains(got, "Appendix II") || !strings.Contains(got, law.CheckLocalLaw) {
		t.Errorf("in France\n%s", got)
	}
	for _, region := range []string{"", "Atlantis"} {
		if got := texts(region); strings.Contains(got, "Appendix II") {
			t.Errorf("in %q\n%s", region, got)
		}
	}
}
