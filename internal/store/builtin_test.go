package store_test

import (
	"reflect"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/species/synthetic"
	"commensal/internal/store"
)

func TestWholeCataloguesComeBackExactlyAsTheyWereLoaded(t *testing.T) {
	t.Parallel()
	builtin, err := builtin.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]species.Catalogue{"the built-in one": builtin, "a synthetic one": synthetic.Catalogue(7, 60)} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s, _ := open(t, store.Options{})
			revision, _ := load(t, s, want, name)
			got, err := s.Catalogue(testContext(t), revision)
			if err != nil {
				t.Fatal(err)
			}
			if len(got.Species) == 0 || len(got.Species) != len(want.Species) {
				t.Fatalf("%d entries came back of %d", len(got.Species), len(want.Species))
			}
			for i := range got.Species {
				if !reflect.DeepEqual(got.Species[i], want.Species[i]) {
					t.Errorf("got  %+v\nwant %+v", got.Species[i], want.Species[i])
				}
			}
			if !reflect.DeepEqual(got.Words, want.Words) || !reflect.DeepEqual(got.Sources, want.Sources) {
				t.Errorf("got words %v and sources %v\nwant %v and %v", got.Words, got.Sources, want.Words, want.Sources)
			}
		})
	}
}
