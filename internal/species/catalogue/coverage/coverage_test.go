package coverage_test

import (
	"bytes"
	"errors"
	"reflect"
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/coverage"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/species/synthetic"
)

// covered is a catalogue of three entries, little of which is filled.
func covered() species.Catalogue {
	a, b, c := cataloguetest.Named("Parvus rapidus"), cataloguetest.Named("Parvus celer"), cataloguetest.Named("Parvus celer")
	c.Form, c.FormOf = "fancy", b.ID
	a.Names = []species.Name{cataloguetest.English("One"), cataloguetest.English("Two"), {Language: "de", Text: "Eins"}}
	b.Names = []species.Name{cataloguetest.English("Three")}
	a.Traits[species.Length] = cataloguetest.Value(1, 2, 3)
	a.MaleTraits[species.Length] = cataloguetest.Value(1, 2, 3)
	b.FemaleTraits[species.Length] = species.Value{Basis: "source:k"}
	b.Water[species.PH] = cataloguetest.Waters(5, 6, 7, 8)
	c.Zones.Basis = species.Memory
	a.FeedsBy, a.Available, b.Available, c.Available = species.PickAtFood, species.EveryShop, species.ManyShops, species.RareSeller
	c.Names = []species.Name{{Language: "de", Text: "Zwei"}}
	return species.Catalogue{
		Species: []*species.Species{a, b, c},
		Words:   []species.GroupWord{{Word: "x", Candidates: []species.ID{a.ID, b.ID}}},
		Sources: []species.Source{{Key: "k", Citation: "c"}},
	}
}

func TestCoverageCounts(t *testing.T) {
	r := coverage.Of(covered())
	if r.Usual != 2 {
		t.Errorf("%d entries are usual in shops, want 2", r.Usual)
	}
	if r.Entries != 3 || r.Forms != 1 || r.Words != 1 || r.Sources != 1 {
		t.Errorf("counts %d %d %d %d, want 3 1 1 1", r.Entries, r.Forms, r.Words, r.Sources)
	}
	if len(r.Traits) != species.NumTraits || r.Traits[species.Length] != (coverage.Filled{Key: "length", Required: true, Entries: 2}) ||
		r.Traits[species.Flow].Entries != 0 || r.Traits[species.TankHeight].Required {
		t.Errorf("traits %v", r.Traits)
	}
	if got := r.Water[species.PH]; got != (coverage.Filled{Key: "ph", Required: true, Entries: 1}) {
		t.Errorf("ph %v", got)
	}
	if want := []coverage.Filled{{Key: "zones", Required: true, Entries: 1}, {Key: "feeding_zones"}}; !reflect.DeepEqual(r.Zones, want) {
		t.Errorf("zones %v", r.Zones)
	}
	if want := []coverage.Filled{{Key: "feeds_by", Entries: 1}, {Key: "active"}, {Key: "availability", Entries: 3}}; !reflect.DeepEqual(r.Habits, want) {
		t.Errorf("habits %v, want %v", r.Habits, want)
	}
	if want := []coverage.BasisCount{{Basis: "memory", Values: 4, Share: 0.8}, {Basis: "source:k", Values: 1, Share: 0.2}}; !reflect.DeepEqual(r.Bases, want) {
		t.Errorf("bases %v, want %v", r.Bases, want)
	}
	if want := []coverage.LanguageCount{{Language: "en", Names: 3, Entries: 2, Usual: 2}, {Language: "de", Names: 2, Entries: 2, Usual: 1}}; !reflect.DeepEqual(r.Languages, want) {
		t.Errorf("languages %v, want %v", r.Languages, want)
	}
}

func TestCoverageMarkdown(t *testing.T) {
	var b bytes.Buffer
	c := covered()
	c.Species[0].Family = "Parvidae"
	problems := []verify.Problem{
		{Severity: verify.SeverityReview, Species: "a-b", Field: "trait length", Detail: "long | short"},
		{Severity: verify.SeverityReviewed, Species: "a-c", Field: "water ph", Detail: "sour", Reason: "it is a bog"},
		{Severity: verify.SeverityError, Species: "a-d", Field: "id", Detail: "none of the page's business"},
	}
	if err := coverage.Of(c).WriteMarkdown(&b, problems); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"3 entries, 1 of them trade forms, in 1 families; 1 trade words for several; 1 sources.\n",
		"| basis | values | share |\n| --- | ---: | ---: |\n| memory | 4 | 80.0 % |\n", "| `length` | 2 | 67 % |  |\n", "| `tank_height` | 0 | 0 % | optional |\n",
		"| en | 3 | 2 | 67 % | 2 | 100 % |\n", "| de | 2 | 2 | 67 % | 1 | 50 % |\n", "| Parvidae | 1 |\n", "| a-b | length | long \\| short |  |\n", "| a-c | water ph | sour | it is a bog |\n",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the page lacks\n%s\nin\n%s", want, b.String())
		}
	}
	if strings.Contains(b.String(), "business") {
		t.Error("an error stands on the page")
	}
	if err := coverage.Of(c).WriteMarkdown(cataloguetest.FullDisk{}, nil); !errors.Is(err, cataloguetest.ErrFull) {
		t.Errorf("error %v, want the writer's", err)
	}
}

func TestCoverageOfAFullCatalogueLacksNothing(t *testing.T) {
	r := coverage.Of(synthetic.Catalogue(1, 40))
	var b bytes.Buffer
	if err := r.WriteText(&b); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "missing") {
		t.Errorf("values are missing:\n%s", b.String())
	}
}

func TestCoverageText(t *testing.T) {
	var b bytes.Buffer
	if err := coverage.Of(covered()).WriteText(&b); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"3 entries, 1 of them trade forms; 1 words for several; 1 sources\n\nTraits\n  length             2  1 missing\n",
		"  tank_height        0  optional\n", "\nWater\n  temperature  0  3 missing\n  ph           1  2 missing\n",
		"\nBasis of the values\n  memory    4  80.0 %\n  source:k  1  20.0 %\n",
		"\nNames\n  en  3  for 2 entries  2 of the 2 usual in shops\n  de  2  for 2 entries  1 of the 2 usual in shops\n",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the report lacks\n%s\nin\n%s", want, b.String())
		}
	}
	if err := coverage.Of(covered()).WriteText(cataloguetest.FullDisk{}); !errors.Is(err, cataloguetest.ErrFull) {
		t.Errorf("error %v, want the writer's", err)
	}
}
