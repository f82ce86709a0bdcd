package entry_test

import (
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/entry"
	"go.yaml.in/yaml/v3"
	"pgregory.net/rapid"
)

func reading(errs *entry.Errors) *entry.Reader { return &entry.Reader{File: "f", Errs: errs} }

func scalar(text string) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text, Line: 7}
}

// Every word that an outline has is read under its key as the same word.
func TestWhatIsOutlinedCanBeReadByItsKey(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := cataloguetest.LegalSpecies().Draw(t, "species")
		var errs entry.Errors
		var back species.Species
		for _, m := range entry.Outline(s) {
			text, isText := m.Value.(string)
			if isText && !reading(&errs).Key(m.Key, scalar(text), &back) {
				t.Errorf("no key %s", m.Key)
			}
		}
		if err := errs.OrNil(); err != nil {
			t.Fatal(err)
		}
		if back.Guild != s.Guild || back.FeedsBy != s.FeedsBy || back.Active != s.Active || back.Available != s.Available ||
			back.Note != s.Note || back.SoldAs != s.SoldAs || back.FormOf != s.FormOf {
			t.Errorf("read %+v, want %+v", back, s)
		}
	})
}

func TestAKeyThatEntriesDoNotHaveIsNotRead(t *testing.T) {
	var errs entry.Errors
	if reading(&errs).Key("habits", scalar("none"), &species.Species{}) || len(errs) > 0 {
		t.Errorf("habits was read: %v", errs)
	}
}

func TestAFaultNamesTheFieldOrTheColumn(t *testing.T) {
	for column, want := range map[string]string{"": "f:7: feeds_by: ", "feeding [en]": "f:7: feeding [en]: "} {
		var errs entry.Errors
		r := reading(&errs)
		r.Column = column
		r.Key("feeds_by", scalar("nibble"), &species.Species{})
		if len(errs) != 1 || !strings.HasPrefix(errs[0].Error(), want) || !strings.Contains(errs[0].Detail, "graze_algae, rasp_wood") {
			t.Errorf("column %q: faults %v, want one at %q", column, errs, want)
		}
	}
}

func TestNumbersAreReadAsWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Min(0).Draw(t, "x")
		if back, ok := entry.ParseNumber(entry.FormatNumber(x)); !ok || back != x {
			t.Errorf("%v is written %s and read %v, %t", x, entry.FormatNumber(x), back, ok)
		}
	})
	for _, text := range []string{"", ".", "-1", "1e3", "1,5", "Inf", "0x1", "1.", " 1"} {
		if x, ok := entry.ParseNumber(text); ok {
			t.Errorf("%q is read as %v", text, x)
		}
	}
}

func TestReviewKeysAreTheValuesOfAnEntry(t *testing.T) {
	for _, key := range []string{"territory", "male length", "water gh", "zones", "names pt-BR", "feeds_by", "active", "availability"} {
		if !entry.IsReviewKey(key) {
			t.Errorf("%q cannot be reviewed", key)
		}
	}
	for _, key := range []string{"", "trait territory", "male gape", "water calcium", "names EN", "note"} {
		if entry.IsReviewKey(key) {
			t.Errorf("%q can be reviewed", key)
		}
	}
}

func TestPlacesAreJoined(t *testing.T) {
	a, b := cataloguetest.Named("Parvus rapidus"), cataloguetest.Named("Parvus celer")
	here, there := entry.NewPlaces(), entry.NewPlaces()
	here.Note(a, "a.yaml", 3)
	there.Note(b, "b.yaml", 5)
	there.TakeList("words", "words.yaml", map[string]int{"pleco": 2})
	both := here.Join(there)
	for _, tt := range []struct {
		s     *species.Species
		field string
		want  entry.Place
	}{
		{a, "trait length", entry.Place{File: "a.yaml", Line: 3}}, {b, "", entry.Place{File: "b.yaml", Line: 5}},
		{nil, "words pleco", entry.Place{File: "words.yaml", Line: 2}}, {nil, "words cory", entry.Place{}},
	} {
		if got := both.Of(tt.s, tt.field); got != tt.want {
			t.Errorf("%s stands at %v, want %v", tt.field, got, tt.want)
		}
	}
	if got := here.Of(b, ""); got != (entry.Place{}) {
		t.Errorf("joining changed what was joined: %v", got)
	}
}
