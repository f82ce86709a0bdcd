package store_test

import (
	"fmt"
	"slices"
	"testing"

	"commensal/internal/evidence"
	"commensal/internal/species"
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

// BenchmarkReportTallies counts a hundred thousand reports of five thousand pairs by four
// organizations.
func BenchmarkReportTallies(b *testing.B) {
	s, dsn := open(b, store.Options{})
	for k := range 4 {
		of := organization(b, s, fmt.Sprint("Shop ", k))
		execute(b, dsn, fmt.Sprintf(`
			INSERT INTO reports (organization_id, id, first_species, second_species, months, outcome)
			SELECT '%s', gen_random_uuid(), 'genus-species-' || i %% 100, 'genus-species-' || i / 100 %% 100, i %% 30,
				(ARRAY['fine', 'harassed', 'injured', 'killed'])[1 + i %% 4]
			FROM generate_series(1, 25000) AS i`, of))
	}
	execute(b, dsn, `ANALYZE reports`)
	var last *evidence.Tallies
	for b.Loop() {
		last = tallies(b, s)
	}
	if last.Len() < 5000 {
		b.Errorf("%d pairs", last.Len())
	}
}

// What a curator's change costs the database: one entry of a thousand.
func BenchmarkChangeOneOf1000(b *testing.B) {
	s, _ := open(b, store.Options{})
	c := synthetic.Catalogue(1, 1000)
	revision, _ := load(b, s, c, "")
	org, err := s.CreateOrganization(b.Context(), "curators")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		next := species.Catalogue{Species: slices.Clone(c.Species), Words: c.Words, Sources: c.Sources}
		changed := *c.Species[i%1000]
		changed.Note = fmt.Sprint(i)
		next.Species[i%1000] = &changed
		err := s.Write(b.Context(), org.ID, func(tx *store.Tx) error {
			r, _, err := tx.ChangeCatalogue(b.Context(), store.Change{Catalogue: next, OnTopOf: revision,
				Like: store.Content{Revision: revision, Catalogue: c}})
			revision = r.Number
			return err
		})
		if err != nil {
			b.Fatal(err)
		}
		c = next
	}
}

func BenchmarkCatalogue1000After100Changes(b *testing.B) {
	s, _ := open(b, store.Options{})
	c := synthetic.Catalogue(1, 1000)
	revision, _ := load(b, s, c, "")
	for i := range 100 {
		c.Species[10*i].Note = fmt.Sprint(i)
		revision, _ = load(b, s, c, "")
	}
	ctx := testContext(b)
	b.ReportAllocs()
	for b.Loop() {
		if c, err := s.Catalogue(ctx, revision); err != nil || len(c.Species) != 1000 {
			b.Fatal(err)
		}
	}
}
