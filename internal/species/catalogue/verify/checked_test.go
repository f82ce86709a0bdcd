package verify_test

import (
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/species/synthetic"
)

// compared is a catalogue with one source, which agrees with a length of the shoaler.
func compared(value string) (species.Catalogue, *species.Species) {
	c := synthetic.Catalogue(1, 7)
	c.Sources = append(c.Sources, species.Source{Key: "book", Citation: "A Book."})
	s := c.Species[shoaler]
	if value == "" {
		value, _ = s.ValueText("length")
	}
	s.Checked = []species.Mark{{Source: "book", Field: "length", Value: value}}
	return c, s
}

func TestAMarkThatHoldsAsksForNothing(t *testing.T) {
	c, _ := compared("")
	if problems := verify.Catalogue(c); len(problems) != 0 {
		t.Errorf("problems %v", problems)
	}
}

func TestAMarkOfAnotherValueIsShown(t *testing.T) {
	c, s := compared("1 2 3")
	checkOnly(t, c, verify.Problem{Severity: review, Species: s.ID, Field: "checked", Detail: "length of 1 2 3 was compared with book"})
}

func TestAMarkNeedsAListedSourceAndAField(t *testing.T) {
	c, s := compared("")
	s.Checked = append(s.Checked, species.Mark{Source: "tale", Field: "length", Value: "1"})
	checkOnly(t, c, verify.Problem{Severity: fault, Species: s.ID, Field: "checked", Detail: `source "tale" is not in the list`})
	s.Checked[1] = s.Checked[0]
	checkOnly(t, c, verify.Problem{Severity: fault, Species: s.ID, Field: "checked", Detail: "book stands twice for length"})
	s.Checked[1] = species.Mark{Source: "book", Field: "weight", Value: "1"}
	checkOnly(t, c, verify.Problem{Severity: fault, Species: s.ID, Field: "checked", Detail: "neither a trait nor a water parameter"})
}

func TestAReasonForDifferingFromASource(t *testing.T) {
	c, s := compared("")
	s.Reviewed = []species.Review{{Field: "book lifespan", Reason: "it lives longer in care"}}
	problems := verify.Catalogue(c)
	if len(problems) != 1 || problems[0].Severity != verify.SeverityReviewed || problems[0].Reason != "it lives longer in care" {
		t.Errorf("problems %v", problems)
	}
	s.Reviewed[0].Field = "book length"
	checkOnly(t, c, verify.Problem{Severity: fault, Species: s.ID, Field: "reviewed book length", Detail: "book agrees with it"})
	s.Reviewed[0].Field = "tale lifespan"
	checkOnly(t, c, verify.Problem{Severity: fault, Species: s.ID, Field: "reviewed tale lifespan", Detail: "not in the list of sources"})
}
