package catalogue_test

import (
	"fmt"
	"testing"
	"testing/fstest"

	"commensal/db"
	"commensal/internal/species"
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

// folderOf writes n generated entries as a folder of files of about thirty entries, as
// the built-in catalogue is.
func folderOf(b *testing.B, n int) fstest.MapFS {
	c := synthetic.Catalogue(1, n)
	files := make(fstest.MapFS)
	for i := 0; i < n; i += 30 {
		name := fmt.Sprintf("species/%05d.yaml", i)
		files[name] = &fstest.MapFile{Data: []byte(format(b, c.Species[i:min(i+30, n)]))}
	}
	return files
}

// What an offline command does before it answers: read the text and index it. 600
// entries are the catalogue of next year, 10,000 every fish that was ever traded.
func BenchmarkStart(b *testing.B) {
	for _, n := range []int{600, 10_000} {
		files := folderOf(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				c, err := catalogue.Parse(files)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := species.NewSnapshot(0, c); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
