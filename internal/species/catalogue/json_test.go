package catalogue_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/synthetic"
	"pgregory.net/rapid"
)

// Reading the JSON with nothing but its member names gives the entries back.
func TestJSONHasTheContentOfTheText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOfN(cataloguetest.LegalSpecies(), 0, 3).Draw(t, "species")
		var b bytes.Buffer
		if err := catalogue.FormatJSON(&b, species.Catalogue{Species: want}); err != nil {
			t.Fatal(err)
		}
		var got struct{ Species []jsonEntry }
		dec := json.NewDecoder(&b)
		dec.DisallowUnknownFields()
		if err := dec.Decode(&struct {
			Species *[]jsonEntry
			Words   []struct{}
			Sources []struct{}
		}{Species: &got.Species}); err != nil {
			t.Fatal(err)
		}
		if len(got.Species) != len(want) {
			t.Fatalf("%d entries, want %d", len(got.Species), len(want))
		}
		for i, e := range got.Species {
			if s := e.entry(want[i]); !reflect.DeepEqual(s, want[i]) {
				t.Fatalf("got\n%+v\nwant\n%+v", s, want[i])
			}
		}
	})
}

type jsonValue struct {
	Low, Typical, High float64
	Unit               species.Unit
	Basis              species.Basis
}

type jsonRange struct {
	ToleratedLow  float64 `json:"tolerated_low"`
	PreferredLow  float64 `json:"preferred_low"`
	PreferredHigh float64 `json:"preferred_high"`
	ToleratedHigh float64 `json:"tolerated_high"`
	Unit          string
	Basis         species.Basis
}

type jsonZones struct {
	Surface, Middle, Bottom float64
	Basis                   species.Basis
}

type jsonEntry struct {
	ID                            species.ID
	ScientificName                string `json:"scientific_name"`
	Form                          string
	FormOf                        species.ID `json:"form_of"`
	Family                        string
	Synonyms, Colours, Hybridises []string
	Names                         map[string][]string
	BodyForm                      species.BodyForm `json:"body_form"`
	Guild                         species.Guild
	FeedsBy                       species.Feeding `json:"feeds_by"`
	Active                        species.Hours
	Availability                  species.Availability
	Social                        species.Social
	Shape                         string
	Sexed                         *bool  `json:"sexed_in_trade"`
	SoldAs                        string `json:"sold_as"`
	Needs                         []string
	Cautions                      []species.Caution
	LegalNote                     string `json:"legal_note"`
	Note                          string
	Basis                         species.Basis
	Reviewed                      map[string]string
	Checked                       []string
	Traits, Male, Female          map[string]jsonValue
	Water                         map[string]jsonRange
	Zones                         jsonZones
	Feeding                       jsonZones `json:"feeding_zones"`
}

// entry is the species that the JSON tells; like gives the order of the languages,
// which a map has lost.
func (e jsonEntry) entry(like *species.Species) *species.Species {
	s := &species.Species{
		ID: e.ID, ScientificName: e.ScientificName, Form: e.Form, FormOf: e.FormOf, Family: e.Family, Synonyms: e.Synonyms,
		Colours: e.Colours, Hybridises: e.Hybridises, BodyForm: e.BodyForm, Guild: e.Guild,
		FeedsBy: e.FeedsBy, Active: e.Active, Available: e.Availability, Social: e.Social, Shape: e.Shape,
		SexedTrade: *e.Sexed, Needs: e.Needs, Cautions: e.Cautions, LegalNote: e.LegalNote, Note: e.Note, Basis: e.Basis,
		Traits: traitsOf(e.Traits), MaleTraits: traitsOf(e.Male), FemaleTraits: traitsOf(e.Female),
		Zones:        species.ZoneUse{Share: [3]float64{e.Zones.Surface, e.Zones.Middle, e.Zones.Bottom}, Basis: e.Zones.Basis},
		FeedingZones: species.ZoneUse{Share: [3]float64{e.Feeding.Surface, e.Feeding.Middle, e.Feeding.Bottom}, Basis: e.Feeding.Basis},
	}
	s.SoldAs = map[string]species.Sex{"": species.Unsexed, "male": species.Male, "female": species.Female}[e.SoldAs]
	for _, n := range like.Names {
		for _, text := range e.Names[n.Language] {
			s.Names = append(s.Names, species.Name{Language: n.Language, Text: text})
		}
		delete(e.Names, n.Language)
	}
	for _, v := range like.Reviewed {
		s.Reviewed = append(s.Reviewed, species.Review{Field: v.Field, Reason: e.Reviewed[v.Field]})
	}
	for _, text := range e.Checked {
		m, _ := species.ParseMark(text)
		s.Checked = append(s.Checked, m)
	}
	for p := range species.Parameter(species.NumParameters) {
		if w, ok := e.Water[p.String()]; ok && w.Unit == p.Info().Unit {
			s.Water[p] = species.WaterRange{
				Tolerated: species.Range{Low: w.ToleratedLow, High: w.ToleratedHigh},
				Preferred: species.Range{Low: w.PreferredLow, High: w.PreferredHigh}, Basis: w.Basis,
			}
		}
	}
	return s
}

func traitsOf(values map[string]jsonValue) species.TraitSet {
	var set species.TraitSet
	for key, v := range values {
		if t, ok := species.TraitByKey(key); ok && v.Unit == t.Info().Unit {
			set[t] = species.Value{Band: species.Band{Low: v.Low, Typical: v.Typical, High: v.High}, Basis: v.Basis}
		}
	}
	return set
}

func TestJSONOfASmallCatalogue(t *testing.T) {
	s := cataloguetest.Named("Parvus rapidus")
	s.Names = []species.Name{cataloguetest.English("Q & A <fish>")}
	s.Traits[species.Length] = cataloguetest.Value(2, 3, 3.5)
	var b bytes.Buffer
	err := catalogue.FormatJSON(&b, species.Catalogue{
		Species: []*species.Species{s},
		Words:   []species.GroupWord{{Word: "quick", Candidates: []species.ID{s.ID}}},
		Sources: []species.Source{{Key: "k", Citation: "c"}},
	})
	want := `{
  "species": [
    {
      "id": "parvus-rapidus",
      "scientific_name": "Parvus rapidus",
      "names": {
        "en": [
          "Q & A <fish>"
        ]
      },
      "sexed_in_trade": false,
      "traits": {
        "length": {
          "low": 2,
          "typical": 3,
          "high": 3.5,
          "unit": "cm",
          "basis": "memory"
        }
      }
    }
  ],
  "words": [
    {
      "word": "quick",
      "candidates": [
        "parvus-rapidus"
      ]
    }
  ],
  "sources": [
    {
      "key": "k",
      "citation": "c"
    }
  ]
}
`
	if err != nil || b.String() != want {
		t.Errorf("error %v, got\n%s", err, b.String())
	}
}

func TestJSONKeepsTheOrderOfTheText(t *testing.T) {
	c := synthetic.Catalogue(1, 3)
	var b, again bytes.Buffer
	if err := errors.Join(catalogue.FormatJSON(&b, c), catalogue.FormatJSON(&again, c)); err != nil {
		t.Fatal(err)
	}
	if b.String() != again.String() {
		t.Error("the same catalogue gave other bytes")
	}
	text := b.String()
	last := 0
	for _, key := range []string{"id", "family", "names", "guild", "basis", "traits", "length", "depth_ratio", "flow", "water", "temperature", "ph", "zones"} {
		at := strings.Index(text[last:], `"`+key+`":`)
		if at < 0 {
			t.Fatalf("%q does not follow in its place", key)
		}
		last += at
	}
}

func TestJSONRefusesWhatItCannotHold(t *testing.T) {
	s := cataloguetest.Named("Parvus rapidus")
	s.Traits[species.Length] = cataloguetest.Value(1, math.NaN(), 2)
	var b bytes.Buffer
	if err := catalogue.FormatJSON(&b, species.Catalogue{Species: []*species.Species{s}}); err == nil || b.Len() > 0 {
		t.Errorf("error %v, %d bytes written; want an error and none", err, b.Len())
	}
}
