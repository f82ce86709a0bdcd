package verify_test

import (
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/species/synthetic"
)

// territorial is a catalogue with one thing to review: the territory of a shoaler.
func territorial() (species.Catalogue, *species.Species) {
	c := synthetic.Catalogue(1, 7)
	s := c.Species[shoaler]
	s.Traits[species.Territory] = cataloguetest.Value(20, 25, 30)
	return c, s
}

func TestWhatWasReviewedAsksForNothing(t *testing.T) {
	c, s := territorial()
	s.Reviewed = []species.Review{{Field: "territory", Reason: "males hold ground at dawn"}}
	problems := verify.Catalogue(c)
	if len(problems) != 1 || problems[0].Severity != verify.SeverityReviewed || problems[0].Reason != "males hold ground at dawn" {
		t.Fatalf("problems %v, want one that was reviewed", problems)
	}
	if !strings.HasSuffix(problems[0].String(), "lives in a group: right because males hold ground at dawn") {
		t.Errorf("it reads %q", problems[0])
	}
}

func TestAReviewThatIsNotNeededIsAnError(t *testing.T) {
	for _, tt := range []struct{ field, reason, detail string }{
		{"activity", "it never rests", "nothing is unusual about it"},
		{"male length", "they grow", "nothing is unusual about it"},
		{"habits", "unknown", "no value of an entry"},
		{"territory", " ", "has no reason"},
	} {
		c := synthetic.Catalogue(1, 7)
		s := c.Species[shoaler]
		s.Reviewed = []species.Review{{Field: tt.field, Reason: tt.reason}}
		checkOnly(t, c, verify.Problem{Severity: fault, Species: s.ID, Field: "reviewed " + tt.field, Detail: tt.detail})
	}
}

func TestAnErrorCannotBeReviewedAway(t *testing.T) {
	c := synthetic.Catalogue(1, 7)
	s := c.Species[shoaler]
	s.Traits[species.Timidity] = cataloguetest.Value(0.5, 0.6, 1.1)
	s.Reviewed = []species.Review{{Field: "timidity", Reason: "it is very shy"}}
	problems := verify.Catalogue(c)
	if len(problems) != 2 || problems[0].Severity != fault || problems[1].Severity != fault {
		t.Errorf("problems %v, want the error and the useless review", problems)
	}
}

const head = "- scientific_name: Parvus rapidus\n  family: Parvidae\n"

func TestReviewsAreReadWithTheirLines(t *testing.T) {
	for _, tt := range []struct{ text, want string }{
		{"  reviewed:\n    habits: none\n", `f:4: reviewed: "habits" is no value of an entry`},
		{"  reviewed:\n    female gape: it is\n", `f:4: reviewed: "female gape" is no value`},
		{"  reviewed:\n    territory:\n", `f:4: reviewed territory: the value is empty`},
		{"  reviewed:\n    territory: a\n    territory: b\n", `f:5: reviewed: the key "territory" stands twice`},
		{"  reviewed: [territory]\n", `f:3: reviewed: must be a mapping`},
	} {
		if _, err := catalogue.ParseFile("f", []byte(head+tt.text)); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: error %v, want %s", tt.text, err, tt.want)
		}
	}
}

func TestProblemsHaveTheirPlace(t *testing.T) {
	text := head + "  names:\n    en: [One]\n  traits:\n    length: 1 2 3 cm memory\n  water:\n    ph: 1 2 3 4 pH memory\n"
	files := cataloguetest.Folder("species/a.yaml", "# A comment.\n"+text, "words.yaml", "\ntwo: [parvus-celer]\n", "sources.yaml", "k: A citation\n")
	c, places, err := catalogue.ParsePlaced(files)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]entry.Place{
		"trait length": {File: "species/a.yaml", Line: 7}, "water ph": {File: "species/a.yaml", Line: 9}, "trait flow": {File: "species/a.yaml", Line: 2},
		"words two": {File: "words.yaml", Line: 2}, "sources k": {File: "sources.yaml", Line: 1},
	}
	for _, p := range verify.Placed(c, places) {
		if place, ok := want[p.Field]; ok && p.Place != place {
			t.Errorf("%s stands at %v, want %v", p.Field, p.Place, place)
		} else {
			delete(want, p.Field)
		}
		if p.Field == "trait length" && !strings.HasPrefix(p.String(), "species/a.yaml:7: error: parvus-rapidus: trait length: ") {
			t.Errorf("it reads %q", p)
		}
	}
	for field := range want {
		t.Errorf("nothing about %s", field)
	}
}
