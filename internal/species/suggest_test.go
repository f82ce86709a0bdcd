package species_test

import (
	"errors"
	"slices"
	"testing"

	"commensal/internal/species"

	"pgregory.net/rapid"
)

// What an error calls near a name is what a search for the name begins with, and a shorter search is the
// beginning of a longer one.
func TestSuggestionsAreWhatASearchFinds(t *testing.T) {
	s := trade(t)
	unknown := 0
	rapid.Check(t, func(t *rapid.T) {
		e := s.At(rapid.IntRange(0, s.Len()-1).Draw(t, "species"))
		name := []rune(rapid.SampledFrom(e.Names).Draw(t, "name").Text)
		name[rapid.IntRange(0, len(name)-1).Draw(t, "at")] = 'q'
		q := string(name) + rapid.SampledFrom([]string{"", " snail", " zzz", " 3 cm"}).Draw(t, "beside")
		long := s.Search(q, 50)
		short := s.Search(q, rapid.IntRange(1, 12).Draw(t, "limit"))
		if !slices.Equal(short, long[:min(len(short), len(long))]) {
			t.Fatalf("%q: %v is not the beginning of %v", q, short, long)
		}
		for _, err := range []error{second(s.ReadLabel(q)), second(s.Resolve(q))} {
			var u *species.UnknownNameError
			if errors.As(err, &u) && u.Other == nil {
				unknown++
				if !slices.Equal(u.Near, long[:len(u.Near)]) || len(u.Near) == 0 && len(long) > 0 {
					t.Fatalf("%q: near it are %v, a search finds %v", q, u.Near, long)
				}
			}
		}
	})
	if unknown == 0 {
		t.Error("no name was unknown")
	}
}

func second[T any](_ T, err error) error { return err }

func TestNamesWithBarsMayMeanEach(t *testing.T) {
	s := trade(t)
	for label, want := range map[string][]species.ID{
		"guppy | platy":       {"poecilia-reticulata", "xiphophorus-maculatus"},
		"male guppy|guppy":    {"poecilia-reticulata"},
		"neon tetra | oscars": {"paracheirodon-innesi", "astronotus-ocellatus"},
	} {
		l, err := s.ReadLabel(label)
		var got []species.ID
		for _, m := range l.Meanings {
			got = append(got, m.Species.ID)
		}
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%q: %v (%v)", label, got, err)
		}
	}
	for _, label := range []string{"guppy | nothing of the kind", "guppy | java fern", "guppy |", "|"} {
		if l, err := s.ReadLabel(label); err == nil || len(l.Meanings) > 0 {
			t.Errorf("%q is %+v", label, l)
		}
	}
	if l, err := s.ReadLabel("cory | tetra | guppy"); err != nil || len(l.Meanings) != species.MaxMeanings || l.Broader == 0 {
		t.Errorf("many kinds: %d and %d more (%v)", len(l.Meanings), l.Broader, err)
	}
}
