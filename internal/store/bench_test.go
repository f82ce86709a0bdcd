package store_test

import (
	"fmt"
	"testing"

	"commensal/internal/species/synthetic"
	"commensal/internal/store"
)

func BenchmarkLoadCatalogue500(b *testing.B) {
	s, _ := open(b, store.Options{})
	c := synthetic.Catalogue(1, 500)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		c.Species[0].Note = fmt.Sprint(i)
		if _, changed := load(b, s, c, ""); !changed {
			b.Fatal("nothing was written")
		}
	}
}

func BenchmarkLoadCatalogue500Unchanged(b *testing.B) {
	s, _ := open(b, store.Options{})
	c := synthetic.Catalogue(1, 500)
	load(b, s, c, "")
	b.ReportAllocs()
	for b.Loop() {
		if _, changed := load(b, s, c, ""); changed {
			b.Fatal("something was written")
		}
	}
}

func BenchmarkCatalogue500(b *testing.B) {
	s, _ := open(b, store.Options{})
	revision, _ := load(b, s, synthetic.Catalogue(1, 500), "")
	ctx := testContext(b)
	b.ReportAllocs()
	for b.Loop() {
		if c, err := s.Catalogue(ctx, revision); err != nil || len(c.Species) != 500 {
			b.Fatal(err)
		}
	}
}
