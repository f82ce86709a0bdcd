package store_test

import (
	"sync"
	"testing"

	"commensal/internal/species"
	"commensal/internal/store"
)

// editions are two built-in catalogues, the second the later one.
func editions() (first, second species.Catalogue) {
	first, second = sample(), sample()
	first.Species = first.Species[:2]
	first.Words = nil
	return first, second
}

// offer is what a program with an edition does at its start, and what is then current.
func offer(t *testing.T, s *store.Store, c species.Catalogue, edition int) (revision int64, taken, changed bool) {
	t.Helper()
	r, taken, changed, err := s.OfferCatalogue(testContext(t), c, store.Edition{Number: edition, Version: "v1"})
	if err != nil {
		t.Fatal(err)
	}
	if current, err := s.CurrentRevision(testContext(t)); err != nil || current != r.Number {
		t.Errorf("the current revision is %d (%v), %d was returned", current, err, r.Number)
	}
	return r.Number, taken, changed
}

func TestAnOlderProgramDoesNotPutItsCatalogueBack(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	first, second := editions()
	one, taken, changed := offer(t, s, first, 7)
	if !taken || !changed {
		t.Fatal("an empty database does not take the first edition")
	}
	two, taken, changed := offer(t, s, second, 8)
	if !taken || !changed || two == one {
		t.Fatal("the later edition is not taken")
	}
	for range 2 { // the older program starts again, and again
		if now, taken, changed := offer(t, s, first, 7); now != two || taken || changed {
			t.Errorf("the older program left revision %d, taken %v, changed %v", now, taken, changed)
		}
	}
	if now, taken, changed := offer(t, s, second, 8); now != two || !taken || changed {
		t.Errorf("the later program made revision %d, taken %v, changed %v", now, taken, changed)
	}
}

func TestOlderAndNewerProgramsThatStartTogetherEndWithTheNewerCatalogue(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	first, second := editions()
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			c, edition := first, 1
			if i%2 == 0 {
				c, edition = second, 2
			}
			if _, _, _, err := s.OfferCatalogue(t.Context(), c, store.Edition{Number: edition, Version: "v1"}); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	r, err := s.LatestRevision(testContext(t))
	if edition, ok := r.Edition(); err != nil || !ok || edition != 2 || r.SpeciesCount != len(second.Species) {
		t.Errorf("the current revision is %+v, %v", r, err)
	}
}

func TestAnOfferStandsBackWhereSomebodyChose(t *testing.T) {
	t.Parallel()
	for what, choose := range map[string]func(*testing.T, *store.Store, species.Catalogue){
		"a load": func(t *testing.T, s *store.Store, c species.Catalogue) { load(t, s, c, "ours") },
		"an amendment": func(t *testing.T, s *store.Store, c species.Catalogue) {
			current, err := s.CurrentRevision(testContext(t))
			if err != nil {
				t.Fatal(err)
			}
			if _, _, err := s.AmendCatalogue(testContext(t), current, c, "ours"); err != nil {
				t.Fatal(err)
			}
		},
	} {
		t.Run(what, func(t *testing.T) {
			t.Parallel()
			s, _ := open(t, store.Options{})
			first, second := editions()
			offer(t, s, second, 1)
			choose(t, s, species.Catalogue{})
			if _, taken, changed := offer(t, s, first, 99); taken || changed {
				t.Errorf("the offer replaced it: taken %v, changed %v", taken, changed)
			}
			// On somebody's word it does, and later editions follow again.
			if _, changed := load(t, s, first, store.Edition{Number: 99, Version: "v1"}.Note()); !changed {
				t.Fatal("a load changes nothing")
			}
			if _, taken, changed := offer(t, s, second, 100); !taken || !changed {
				t.Errorf("the next edition: taken %v, changed %v", taken, changed)
			}
		})
	}
}

func TestARevisionIsKnownByItsNote(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		note, key string
		number    int
		builtIn   bool
	}{
		{store.Edition{Number: 12, Version: "v1.2.3-4-gabcdef"}.Note(), "", 12, true},
		{store.Edition{Number: 3}.Note(), "", 3, true},
		{"built-in catalogue of commensal v1", "", 0, true}, // from before they were numbered
		{store.Edition{Number: 12, Version: "v1"}.Note(), "key", 0, false},
		{"loaded from ours", "", 0, false},
		{"", "", 0, false},
	} {
		number, ok := store.Revision{Note: c.note, KeyID: c.key}.Edition()
		if number != c.number || ok != c.builtIn {
			t.Errorf("%q by %q: edition %d, %v", c.note, c.key, number, ok)
		}
	}
}

// What programs from before the numbers loaded gives way to any edition.
func TestARevisionWithoutANumberGivesWay(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	first, second := editions()
	load(t, s, first, "built-in catalogue of commensal v1")
	if _, taken, changed := offer(t, s, second, 1); !taken || !changed {
		t.Errorf("taken %v, changed %v", taken, changed)
	}
}
