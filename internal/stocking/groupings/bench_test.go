package groupings

import (
	"strconv"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/testfish"
)

// spread is a list of so many species, evenly over the catalogue, as customary groups.
func spread(b *conflict.Book, n int) stocking.Stock {
	s := stocking.Stock{Wanted: stocking.DefaultWanted}
	for i := range n {
		s.Lines = append(s.Lines, stocking.Line{Index: i * b.Snapshot.Len() / n})
	}
	return s
}

// BenchmarkFewestTanks splits lists over as few tanks as possible.
func BenchmarkFewestTanks(b *testing.B) {
	bk := testfish.Book(b)
	for _, n := range []int{6, 12, 30, 60, 120} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			s := spread(bk, n)
			b.ReportAllocs()
			for b.Loop() {
				g := mustGroup(b, bk, s)
				b.ReportMetric(float64(len(g.Groups)), "tanks")
				b.ReportMetric(float64(len(g.Groups)-g.LowerBound), "gap")
				b.ReportMetric(float64(g.Nodes), "nodes")
			}
		})
	}
}

// BenchmarkGivenTanks splits lists over six given tanks of all sizes.
func BenchmarkGivenTanks(b *testing.B) {
	bk := testfish.Book(b)
	var tanks []stocking.Tank
	for i := range 6 {
		t := *stocking.TankOf(conflict.StandardTanks[2*i+1])
		tanks = append(tanks, t)
	}
	for _, n := range []int{6, 12, 30} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			s := spread(bk, n)
			b.ReportAllocs()
			for b.Loop() {
				g := mustGroup(b, bk, s, tanks...)
				b.ReportMetric(float64(len(g.Unplaced)), "unplaced")
				b.ReportMetric(g.Lost-g.LostBound, "gap")
				b.ReportMetric(float64(g.Nodes), "nodes")
			}
		})
	}
}
