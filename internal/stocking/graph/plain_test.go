package graph_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"commensal/internal/stocking/graph"

	"pgregory.net/rapid"
)

// plain finds and counts the least covers by branching alone: no reductions, no bounds
// but the best cost so far, no components. It is the yardstick for Cover.
type plain struct {
	g     *graph.Graph
	w     []int64
	best  int64
	count int
	nodes int64
}

func (p *plain) search(in graph.Set, paid int64) {
	p.nodes++
	if paid > p.best {
		return
	}
	v, degree := -1, 0
	for u := in.Next(0); u >= 0; u = in.Next(u + 1) {
		if d := neighbours(p.g, u).And(in).Len(); d > degree {
			v, degree = u, d
		}
	}
	if v < 0 {
		if paid < p.best {
			p.best, p.count = paid, 0
		}
		p.count++
		return
	}
	in.Remove(v)
	p.search(in, paid+p.w[v])
	near := neighbours(p.g, v).And(in)
	for u := near.Next(0); u >= 0; u = near.Next(u + 1) {
		paid += p.w[u]
	}
	p.search(in.Without(near), paid)
}

// plainCover searches the whole graph.
func plainCover(g *graph.Graph, w []float64) plain {
	p := plain{g: g, w: make([]int64, g.N()), best: 1 << 62}
	var in graph.Set
	for v := range p.w {
		p.w[v] = micro(w, v)
		in.Add(v)
	}
	p.search(in, 0)
	return p
}

func TestCoverAgreesWithPlainBranchingOnMoreVertices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(13, 34).Draw(t, "n")
		g, w := build(n, drawEdges(t, n)), drawWeights(t, n)
		want := plainCover(g, w)
		r := graph.Cover(g, graph.CoverOptions{Weight: w, MaxSolutions: 1000})
		if !r.Optimal || r.Cost != float64(want.best)/1e6 {
			t.Fatalf("cost %v (optimal %v), plain branching finds %d millionths", r.Cost, r.Optimal, want.best)
		}
		if len(r.Sets) != min(want.count, 1000) || r.Complete != (want.count <= 1000) {
			t.Fatalf("%d sets (complete %v), plain branching counts %d", len(r.Sets), r.Complete, want.count)
		}
	})
}

// instance is a random graph of 60 vertices, the same every time.
func instance(density float64, weighted bool) (*graph.Graph, []float64) {
	r := rand.New(rand.NewPCG(60, uint64(density*100)))
	g := build(60, randomEdges(r, 60, density))
	if !weighted {
		return g, nil
	}
	w := make([]float64, 60)
	for v := range w {
		w[v] = float64(1 + r.IntN(20))
	}
	return g, w
}

var densities = []float64{0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 0.9}

func eachInstance(run func(name string, g *graph.Graph, w []float64)) {
	for _, d := range densities {
		for _, weighted := range []bool{false, true} {
			g, w := instance(d, weighted)
			run(fmt.Sprintf("density=%v/weighted=%v", d, weighted), g, w)
		}
	}
}

func TestSixtyVerticesAreSolvedInFewNodesAtEveryDensity(t *testing.T) {
	// The greatest count seen is 3,000 nodes, the listing of optima included; a node
	// takes some microseconds at most.
	const most = 6000
	eachInstance(func(name string, g *graph.Graph, w []float64) {
		r := graph.Cover(g, graph.CoverOptions{Weight: w, MaxSolutions: 20})
		if !r.Optimal || r.Nodes > most {
			t.Errorf("%s: optimal %v in %d nodes, want at most %d", name, r.Optimal, r.Nodes, most)
		}
	})
}
