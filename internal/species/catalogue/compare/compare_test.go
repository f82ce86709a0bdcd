package compare_test

import (
	"bytes"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/compare"
)

// small are two catalogues: one of a fish, and one in which it has grown and gained a
// name and a neighbour.
func small() (before, after species.Catalogue) {
	was := cataloguetest.Named("Parvus rapidus")
	was.Family, was.Names = "Parvidae", []species.Name{cataloguetest.English("Quick fish")}
	was.Traits[species.Length] = cataloguetest.Value(2, 3, 4)
	is := *was
	is.Names = append(is.Names[:1:1], cataloguetest.English("Dasher"))
	is.Traits[species.Length] = cataloguetest.Value(2, 3, 5)
	other := cataloguetest.Named("Parvus celer")
	other.Family, other.Names = "Parvidae", []species.Name{cataloguetest.English("Swift fish")}
	return species.Catalogue{Species: []*species.Species{was}}, species.Catalogue{Species: []*species.Species{&is, other}}
}

func TestDifferenceIsReadable(t *testing.T) {
	before, after := small()
	var b bytes.Buffer
	if err := compare.Catalogues(before, after).WriteText(&b); err != nil {
		t.Fatal(err)
	}
	want := "~ parvus-rapidus\n    names en: Quick fish → Quick fish, Dasher\n    trait length: 2 3 4 cm memory → 2 3 5 cm memory\n" +
		"+ parvus-celer: Parvus celer, Swift fish\n1 added, 1 changed, 0 removed\n"
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

func TestDifferenceNamesWhatGoesAndWhatIsCited(t *testing.T) {
	_, full := small()
	var b bytes.Buffer
	gone := compare.Catalogues(full, species.Catalogue{Species: full.Species[1:], Sources: []species.Source{{Key: "k", Citation: "c"}}})
	if err := gone.WriteText(&b); err != nil || gone.None() || gone.Touches("parvus-celer") {
		t.Fatalf("error %v, none %t", err, gone.None())
	}
	want := "- parvus-rapidus: Parvus rapidus, Quick fish\n~ words and sources\n    sources k: none → c\n0 added, 0 changed, 1 removed\n"
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

func TestAnotherOrderIsADifference(t *testing.T) {
	_, c := small()
	turned := species.Catalogue{Species: []*species.Species{c.Species[1], c.Species[0]}}
	if d := compare.Catalogues(c, turned); !d.Moved || d.None() {
		t.Errorf("%+v: another order is no difference", d)
	}
}
