package verify_test

import (
	"fmt"
	"testing"

	"commensal/internal/species/catalogue/verify"
	"commensal/internal/species/synthetic"
)

func BenchmarkVerify(b *testing.B) {
	for _, n := range []int{600, 10_000} {
		c := synthetic.Catalogue(1, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if problems := verify.Catalogue(c); len(problems) > 0 {
					b.Fatal(problems[0])
				}
			}
		})
	}
}
