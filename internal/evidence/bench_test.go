package evidence

import (
	"fmt"
	"testing"
)

func BenchmarkOfTenThousandPairs(b *testing.B) {
	of := map[Pair]Tally{}
	for i := range 10_000 {
		of[PairOf(fmt.Sprint("genus-species", i/100), fmt.Sprint("genus-species", i%100))] = Tally{Organizations: i}
	}
	tallies, pair := NewTallies(of), PairOf("astronotus-ocellatus", "paracheirodon-innesi")
	b.ReportAllocs()
	for b.Loop() {
		tallies.Of(pair)
	}
}

func BenchmarkPosterior(b *testing.B) {
	tally := Tally{Organizations: 3, Good: 4.5, Trouble: 2}
	b.ReportAllocs()
	for b.Loop() {
		tally.Posterior(0.8)
	}
}
