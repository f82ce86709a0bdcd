package species_test

import (
	"strings"
	"testing"
	"unicode/utf8"
)

var fuzzNames = []string{
	"Astronotus ocellatus (Agassiz, 1831)", "A. ocellatus", "corydoras sp.", "plecos", "GROẞER", "Boeseman’s rainbowfish",
	"carassius-auratus-fancy", "\x00", "\xff", "ŉ ﬁ Å ǆ ſ İ ı", "\u0301", "ﷺ", "金魚", "oscr", "", strings.Repeat("a b ", 50),
}

// FuzzResolve checks that any text gives a match or one of the three errors, that
// a match is an entry, and that answers are the same when asked again.
func FuzzResolve(f *testing.F) {
	s := snapshotOf(f, smallCatalogue())
	for _, n := range fuzzNames {
		f.Add(n)
	}
	f.Fuzz(func(t *testing.T, name string) {
		first := resolveOutcome(t, s, name)
		if again := resolveOutcome(t, s, name); again != first {
			t.Errorf("%q gave %v, then %v", name, first, again)
		}
		if first.kind == "bad" {
			return
		}
		if strings.ContainsRune(name, 0) || !utf8.ValidString(name) || len(name) > 200 {
			t.Errorf("%q was accepted as text", name)
		}
		if padded := name + " "; first.kind == "match" && len(padded) <= 200 {
			if got := resolveOutcome(t, s, padded); got != first {
				t.Errorf("%q gave %v, with a space behind it %v", name, first, got)
			}
		}
	})
}

// FuzzSearch checks that any text gives a ranked list within the limit, and that
// what resolves is found.
func FuzzSearch(f *testing.F) {
	s := snapshotOf(f, smallCatalogue())
	for i, n := range fuzzNames {
		f.Add(n, i)
	}
	f.Fuzz(func(t *testing.T, q string, limit int) {
		got := s.Search(q, limit)
		if len(got) > max(limit, 0) || len(got) > s.Len() {
			t.Errorf("%q with limit %d gave %d", q, limit, len(got))
		}
		requireRanked(t, got)
		if o := resolveOutcome(t, s, q); o.kind == "match" && limit > 0 && string(got[0].ID) != o.ids {
			t.Errorf("%q resolves to %s, the search gave %v first", q, o.ids, got[0])
		}
	})
}
