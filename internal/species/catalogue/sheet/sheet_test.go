package sheet_test

import (
	"bytes"
	"errors"
	"reflect"
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/compare"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/sheet"
	"commensal/internal/species/synthetic"
	"pgregory.net/rapid"
)

func sheetOf(t interface{ Fatal(...any) }, list []*species.Species) string {
	var b bytes.Buffer
	if err := sheet.Format(&b, list); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func readSheet(t interface{ Fatal(...any) }, text string, base species.Catalogue) *sheet.Sheet {
	sheet, err := sheet.Read("f.csv", []byte(text), base)
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

func TestASheetIsReadAsTheSameEntries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOfNDistinct(cataloguetest.LegalSpecies(), 1, 4, func(s *species.Species) species.ID { return s.ID }).Draw(t, "species")
		text := sheetOf(t, want)
		for _, spelling := range []string{text, "\xef\xbb\xbf" + text, strings.ReplaceAll(text, "\n", "\r\n")} {
			if got := readSheet(t, spelling, species.Catalogue{}); !reflect.DeepEqual(got.Entries, want) {
				t.Fatalf("the sheet reads as other entries:\n%s", text)
			}
		}
	})
}

func TestASheetOfEveryCatalogueIsReadAsTheSameCatalogue(t *testing.T) {
	for name, c := range map[string]species.Catalogue{"built-in": cataloguetest.BuiltIn(t), "generated": synthetic.Catalogue(3, 200)} {
		text := sheetOf(t, c.Species)
		got := readSheet(t, text, species.Catalogue{}).Into(c, true)
		if !reflect.DeepEqual(got, c) {
			t.Errorf("%s: the sheet reads as another catalogue", name)
		}
		if d := compare.Catalogues(c, readSheet(t, text, c).Into(c, false)); !d.None() {
			t.Errorf("%s: on top of itself, %+v", name, d)
		}
	}
}

// parvus is a catalogue of one entry with a few values.
func parvus() species.Catalogue {
	s := cataloguetest.Named("Parvus rapidus")
	s.Family, s.Note = "Parvidae", "A small fish."
	s.Names = []species.Name{cataloguetest.English("Quick fish"), {Language: "de", Text: "Flitzer"}}
	s.Traits[species.Length] = cataloguetest.Value(2, 3, 4)
	s.Traits[species.Territory] = cataloguetest.Value(0, 0, 5)
	s.Water[species.Temperature] = cataloguetest.Waters(20, 22, 26, 28)
	return species.Catalogue{Species: []*species.Species{s}}
}

const lengthHeader = "scientificName,length low [cm],length typical [cm],length high [cm],length basis\n"

func TestASheetChangesWhatItHasColumnsForAndNothingElse(t *testing.T) {
	c := parvus()
	before := *c.Species[0]
	sheet := readSheet(t, lengthHeader+"Parvus rapidus,2.5,3.5,4.5,memory\nParvus celer,,,,\n", c)
	after := sheet.Into(c, false)
	want := before
	want.Traits[species.Length] = cataloguetest.Value(2.5, 3.5, 4.5)
	if !reflect.DeepEqual(after.Species[0], &want) || len(after.Species) != 2 || after.Species[1].ID != "parvus-celer" {
		t.Errorf("got %+v", after.Species)
	}
	if !reflect.DeepEqual(*c.Species[0], before) {
		t.Error("the catalogue it started from has changed")
	}
	emptied := readSheet(t, "scientificName,taxonRemarks,vernacularName,length low [cm],length typical [cm],length high [cm],length basis\nParvus rapidus,,,,,,\n", c)
	s := emptied.Entries[0]
	if s.Note != "" || s.Traits[species.Length].Known() || !s.Traits[species.Territory].Known() ||
		!reflect.DeepEqual(s.Names, []species.Name{{Language: "de", Text: "Flitzer"}}) {
		t.Errorf("an empty cell means not known, a missing column no change: %+v", s)
	}
}

func TestASheetConvertsUnits(t *testing.T) {
	text := "scientificName,length low [in],length typical [inches],length high [mm],length basis," +
		"temperature tolerated low [°F],temperature preferred low [F],temperature preferred high [°C],temperature tolerated high [K],temperature basis," +
		"gh tolerated low [ppm],gh preferred low [°dH],gh preferred high [dH],gh tolerated high [°fH],gh basis," +
		"lifespan low [month],lifespan typical [year],lifespan high [year],lifespan basis," +
		"gape low [%],gape typical [share],gape high [%],gape basis,territory low [in],territory typical [in],territory high [ft],territory basis\n" +
		"Parvus rapidus,1,2,60,memory,68,71.6,26,301.15,memory,0,2,10,20,memory,18,2,3,memory,4,0.05,6,memory,0,0,1,memory\n"
	s := readSheet(t, text, species.Catalogue{}).Entries[0]
	want := cataloguetest.Named("Parvus rapidus")
	want.Traits[species.Length] = cataloguetest.Value(2.54, 5.08, 6)
	want.Traits[species.Lifespan] = cataloguetest.Value(1.5, 2, 3)
	want.Traits[species.Gape] = cataloguetest.Value(0.04, 0.05, 0.06)
	want.Traits[species.Territory] = cataloguetest.Value(0, 0, 30.48)
	want.Water[species.Temperature] = cataloguetest.Waters(20, 22, 26, 28)
	want.Water[species.Hardness] = cataloguetest.Waters(0, 2, 10, 11.21)
	if !reflect.DeepEqual(s, want) {
		t.Errorf("got\n%+v\nwant\n%+v", s, want)
	}
}

func TestAReplacingSheetTakesWordsAlong(t *testing.T) {
	c := synthetic.Catalogue(1, 16)
	sheet := readSheet(t, sheetOf(t, c.Species[:9]), c)
	after := sheet.Into(c, true)
	if len(after.Species) != 9 || len(after.Words) != 8 || len(after.Words[0].Candidates) != 2 || len(after.Words[1].Candidates) != 1 {
		t.Errorf("%d entries and words %v", len(after.Species), after.Words)
	}
	if len(c.Words[1].Candidates) != 2 {
		t.Error("the words it started from have changed")
	}
}

func TestASheetRefusesWhatItCannotHold(t *testing.T) {
	s := cataloguetest.Named("Parvus rapidus")
	s.Traits[species.Length] = cataloguetest.Value(-1, 2, 3)
	var b bytes.Buffer
	if err := sheet.Format(&b, []*species.Species{s}); !errors.Is(err, entry.ErrNotText) || b.Len() > 0 {
		t.Errorf("error %v, %d bytes written", err, b.Len())
	}
	if err := sheet.Format(&b, []*species.Species{cataloguetest.Named("Parvus celer"), cataloguetest.Named("Parvus celer")}); !errors.Is(err, entry.ErrNotText) {
		t.Errorf("an entry twice: error %v", err)
	}
}
