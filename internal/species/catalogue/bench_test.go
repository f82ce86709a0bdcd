package catalogue_test

import (
	"testing"

	"commensal/db"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/synthetic"
)

// Offline commands read the built-in catalogue each time they start.
func BenchmarkParseBuiltIn(b *testing.B) {
	files := db.CatalogueFS()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := catalogue.Parse(files); err != nil {
			b.Fatal(err)
		}
	}
}

// One file is read by one goroutine.
func BenchmarkParseFile500(b *testing.B) {
	text := []byte(format(b, synthetic.Catalogue(1, 250).Species))
	more := []byte(format(b, synthetic.Catalogue(2, 250).Species))
	b.SetBytes(int64(len(text) + len(more)))
	b.ReportAllocs()
	for b.Loop() {
		for _, data := range [][]byte{text, more} {
			if _, err := catalogue.ParseFile("f", data); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkVerify500(b *testing.B) {
	c := synthetic.Catalogue(1, 500)
	b.ReportAllocs()
	for b.Loop() {
		if problems := catalogue.Verify(c); len(problems) > 0 {
			b.Fatal(problems)
		}
	}
}
