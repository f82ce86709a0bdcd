package additions

import (
	"fmt"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
)

// grownCommunity is a list of so many small kinds in a large tank, each the best addition to
// those before it: what a careful keeper ends up with.
func grownCommunity(b testing.TB, bk *conflict.Book, kinds int) stocking.Stock {
	tank := stockingtest.GoodTank()
	tank.LengthCM, tank.WidthCM, tank.HeightCM = 400, 150, 100
	tank.Reading = [species.NumParameters]conflict.Reading{}
	s := stocking.Stock{Tank: tank, Wanted: stocking.DefaultWanted}
	for range kinds {
		a := mustAdd(b, bk, s, Options{Limit: 1, Below: -1, Filters: Filters{MaxLengthCM: 9}})
		if len(a.Fitting) == 0 {
			b.Fatalf("nothing fits beside %d kinds", len(s.Lines))
		}
		s.Lines = append(s.Lines, stocking.Line{Index: a.Fitting[0].Index, Count: a.Fitting[0].Count})
	}
	return s
}

// BenchmarkAdditionsToCommunity ranks generated catalogues for twelve kinds that get on,
// where most species need every pairing scored.
func BenchmarkAdditionsToCommunity(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			bk := testfish.GeneratedBook(b, n)
			s := grownCommunity(b, bk, 12)
			b.ReportAllocs()
			for b.Loop() {
				mustAdd(b, bk, s, Options{})
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/species")
		})
	}
}

// BenchmarkAdditionsToDozen ranks the built-in catalogue for a mixed list of twelve kinds.
func BenchmarkAdditionsToDozen(b *testing.B) {
	bk, s := testfish.Book(b), stockingtest.Dozen(b)
	b.ReportAllocs()
	for b.Loop() {
		mustAdd(b, bk, s, Options{})
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(bk.Snapshot.Len()), "ns/species")
}

// BenchmarkInsteadOf looks for the nearest that fits in the place of one of the twelve.
func BenchmarkInsteadOf(b *testing.B) {
	const n = 10_000
	bk := testfish.GeneratedBook(b, n)
	s := grownCommunity(b, bk, 12)
	b.ReportAllocs()
	for b.Loop() {
		mustAdd(b, bk, s, Options{InsteadOf: &s.Lines[5].Index})
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/species")
}
