package catalogue

import (
	"io/fs"
	"testing"

	"commensal/db"
	"commensal/internal/species/catalogue/entry"
)

// The two ways to the nodes of one file, side by side: what plain text saves.
func BenchmarkNodes(b *testing.B) {
	data, err := fs.ReadFile(db.CatalogueFS(), "species/livebearers.yaml")
	if err != nil {
		b.Fatal(err)
	}
	for _, way := range []struct {
		name string
		read func()
	}{
		{"plain", func() { readPlain(string(data)) }},
		{"yaml", func() {
			var errs entry.Errors
			anyDocument(&entry.Reader{File: "f", Errs: &errs}, data)
		}},
	} {
		b.Run(way.name, func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			for b.Loop() {
				way.read()
			}
		})
	}
}
