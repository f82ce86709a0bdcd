package graph_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"commensal/internal/stocking/graph"
)

// BenchmarkCover solves random graphs of 60 vertices and lists up to 20 best sets.
func BenchmarkCover(b *testing.B) {
	eachInstance(func(name string, g *graph.Graph, w []float64) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			var nodes int64
			for b.Loop() {
				nodes = graph.Cover(g, graph.CoverOptions{Weight: w, MaxSolutions: 20}).Nodes
			}
			b.ReportMetric(float64(nodes), "nodes/op")
		})
	})
}

// BenchmarkAgainstPlain solves the same graphs for one best set and whether it is the
// only one, and by plain branching that counts all, turn by turn. It reports how many times the time and nodes plain takes.
func BenchmarkAgainstPlain(b *testing.B) {
	eachInstance(func(name string, g *graph.Graph, w []float64) {
		b.Run(name, func(b *testing.B) {
			var ours, theirs time.Duration
			var nodes, plainNodes int64
			for b.Loop() {
				start := time.Now()
				nodes = graph.Cover(g, graph.CoverOptions{Weight: w}).Nodes
				middle := time.Now()
				plainNodes = plainCover(g, w).nodes
				ours += middle.Sub(start)
				theirs += time.Since(middle)
			}
			b.ReportMetric(float64(theirs)/float64(ours), "plain-time/ours")
			b.ReportMetric(float64(plainNodes)/float64(nodes), "plain-nodes/ours")
		})
	})
}

// BenchmarkPartition splits random graphs, with and without a room that holds about
// four vertices.
func BenchmarkPartition(b *testing.B) {
	for _, n := range []int{30, 45, 60} {
		for _, density := range []float64{0.1, 0.3, 0.5} {
			r := rand.New(rand.NewPCG(uint64(n), uint64(density*100)))
			g := build(n, randomEdges(r, n, density))
			load := make([]float64, n)
			for v := range load {
				load[v] = float64(1 + r.IntN(5))
			}
			name := fmt.Sprintf("n=%d/density=%v/", n, density)
			b.Run(name+"colouring", func(b *testing.B) {
				benchmarkPartition(b, g, graph.PartitionOptions{})
			})
			b.Run(name+"rooms", func(b *testing.B) {
				benchmarkPartition(b, g, graph.PartitionOptions{Load: load, Room: 12})
			})
		}
	}
}

func benchmarkPartition(b *testing.B, g *graph.Graph, o graph.PartitionOptions) {
	b.ReportAllocs()
	var p graph.PartitionResult
	for b.Loop() {
		p = graph.Partition(g.N(), g, nil, o)
	}
	b.ReportMetric(float64(p.Nodes), "nodes/op")
	b.ReportMetric(float64(len(p.Groups)-p.LowerBound), "gap")
}

// BenchmarkAssign places 20 vertices in 10 bins at random costs.
func BenchmarkAssign(b *testing.B) {
	const n, bins = 20, 10
	r := rand.New(rand.NewPCG(n, bins))
	g := build(n, randomEdges(r, n, 0.4))
	costs := make([]float64, n*bins)
	for i := range costs {
		costs[i] = float64(r.IntN(100))
	}
	cost := func(bin, v int) float64 { return costs[bin*n+v] }
	b.ReportAllocs()
	var nodes int64
	for b.Loop() {
		nodes = graph.Assign(n, bins, g, nil, cost, graph.AssignOptions{}).Nodes
	}
	b.ReportMetric(float64(nodes), "nodes/op")
}
