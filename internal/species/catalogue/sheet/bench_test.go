package sheet_test

import (
	"fmt"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/compare"
	"commensal/internal/species/catalogue/sheet"
	"commensal/internal/species/synthetic"
)

func BenchmarkSheet(b *testing.B) {
	for _, n := range []int{600, 10_000} {
		c := synthetic.Catalogue(1, n)
		text := []byte(sheetOf(b, c.Species))
		b.Run(fmt.Sprint("read ", n), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := sheet.Read("f.csv", text, c); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(fmt.Sprint("diff ", n), func(b *testing.B) {
			after := species.Catalogue{Species: readSheet(b, string(text), species.Catalogue{}).Entries, Words: c.Words}
			b.ReportAllocs()
			for b.Loop() {
				if d := compare.Catalogues(c, after); !d.None() {
					b.Fatal(d)
				}
			}
		})
	}
}
