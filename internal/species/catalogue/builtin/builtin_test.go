package builtin_test

import (
	"os"
	"reflect"
	"testing"

	"commensal/db"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/species/catalogue/packed"
)

func TestTheBuiltInCatalogueIsTheTextOfToday(t *testing.T) {
	t.Parallel()
	want, err := catalogue.Parse(os.DirFS("../../../../db/catalogue"))
	if err != nil {
		t.Fatal(err)
	}
	got, err := builtin.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, want) || string(packed.Encode(want)) != db.PackedCatalogue() {
		t.Error("db/catalogue.packed is not what db/catalogue holds now: run make generate")
	}
}

// What an offline command spares by reading bytes and not text.
func BenchmarkCatalogue(b *testing.B) {
	for _, way := range []struct {
		name string
		read func() (species.Catalogue, error)
	}{
		{"packed", builtin.Catalogue},
		{"text", func() (species.Catalogue, error) { return catalogue.Parse(db.CatalogueFS()) }},
	} {
		b.Run(way.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := way.read(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
