package placements

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
)

// shelter is a drawn request: so many arrivals of one to six fish, and so many furnished
// tanks of standard sizes with up to six kinds in them that can live there together.
func shelter(b testing.TB, bk *conflict.Book, arrivals, tanks int) ([]Arrival, []Adopter) {
	b.Helper()
	r := rand.New(rand.NewPCG(uint64(arrivals), uint64(tanks)))
	line := func() stocking.Line { return stocking.Line{Index: r.IntN(bk.Snapshot.Len()), Count: 1 + r.IntN(6)} }
	in := make([]Arrival, arrivals)
	for i := range in {
		in[i].Line = line()
	}
	to := make([]Adopter, tanks)
	for i := range to {
		tank := stockingtest.GoodTank()
		size := conflict.StandardTanks[r.IntN(len(conflict.StandardTanks))]
		tank.LengthCM, tank.WidthCM, tank.HeightCM = size.LengthCM, size.WidthCM, size.HeightCM
		tank.Reading = [species.NumParameters]conflict.Reading{}
		to[i] = Adopter{Tank: tank}
		for range r.IntN(12) {
			with := append(to[i].Lines[:len(to[i].Lines):len(to[i].Lines)], line())
			if len(with) <= 6 && stocking.NewAssessment(bk, &stocking.Stock{Lines: with, Tank: tank, Wanted: stocking.DefaultWanted}).Judge() < stocking.Hold {
				to[i].Lines = with
			}
		}
	}
	return in, to
}

// BenchmarkPlacements places arrivals in adopters' tanks.
func BenchmarkPlacements(b *testing.B) {
	bk := testfish.Book(b)
	for _, n := range [][2]int{{10, 50}, {30, 100}, {100, 500}} {
		for _, each := range []bool{false, true} {
			b.Run(fmt.Sprintf("%d in %d tanks, one each %v", n[0], n[1], each), func(b *testing.B) {
				in, to := shelter(b, bk, n[0], n[1])
				b.ReportAllocs()
				for b.Loop() {
					p := mustPlace(b, bk, in, to, Options{OneEach: each})
					b.ReportMetric(p.Lost, "lost")
					b.ReportMetric(p.Lost-p.LostBound, "lost-gap")
					b.ReportMetric(p.Harm-p.HarmBound, "harm-gap")
					b.ReportMetric(float64(p.Nodes), "nodes")
				}
			})
		}
	}
}
