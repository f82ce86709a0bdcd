package lookups

import (
	"testing"

	"commensal/api/apitest/fixture"
	"commensal/api/gen"
)

// BenchmarkRank ranks the catalogue for one species, without the words of a page.
func BenchmarkRank(b *testing.B) {
	book := fixture.Fitted(b)
	n := book.Snapshot.Len()
	b.ReportAllocs()
	for k := 0; b.Loop(); k++ {
		rank(book, k*7%n, gen.RankPairingsParams{})
	}
	b.ReportMetric(float64(n), "species")
}
