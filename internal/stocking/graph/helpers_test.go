package graph_test

import (
	"math/rand/v2"
	"slices"

	"commensal/internal/stocking/graph"

	"pgregory.net/rapid"
)

// edge is a pair of vertices.
type edge [2]int

// drawEdges draws each possible edge with a drawn density.
func drawEdges(t *rapid.T, n int) []edge {
	density := rapid.IntRange(0, 100).Draw(t, "density in percent")
	seed := rapid.Uint64().Draw(t, "seed")
	return randomEdges(rand.New(rand.NewPCG(seed, 1)), n, float64(density)/100)
}

func randomEdges(r *rand.Rand, n int, density float64) []edge {
	var out []edge
	for u := range n {
		for v := range u {
			if r.Float64() < density {
				out = append(out, edge{v, u})
			}
		}
	}
	return out
}

func build(n int, edges []edge) *graph.Graph {
	g := graph.New(n)
	for _, e := range edges {
		g.AddEdge(e[0], e[1])
	}
	return g
}

// drawWeights draws weights of a few kinds: nil, small whole numbers with many ties,
// or tenths that do not add up exactly in floating point.
func drawWeights(t *rapid.T, n int) []float64 {
	kind := rapid.SampledFrom([]string{"none", "whole", "tenths"}).Draw(t, "weights")
	if kind == "none" {
		return nil
	}
	w := make([]float64, n)
	for v := range w {
		w[v] = float64(rapid.IntRange(1, 5).Draw(t, "weight"))
		if kind == "tenths" {
			w[v] /= 10
		}
	}
	return w
}

// micro is a weight in the whole steps that the package promises to count in.
func micro(w []float64, v int) int64 {
	if w == nil {
		return 1e6
	}
	return int64(w[v]*1e6 + 0.5)
}

// permuted renames the vertices: v becomes perm[v].
func permuted(edges []edge, perm []int) []edge {
	out := make([]edge, len(edges))
	for i, e := range edges {
		out[i] = edge{perm[e[0]], perm[e[1]]}
	}
	return out
}

func drawPermutation(t *rapid.T, n int) []int {
	ids := make([]int, n)
	for v := range ids {
		ids[v] = v
	}
	return rapid.Permutation(ids).Draw(t, "permutation")
}

// maskOf is the set of the bits of mask.
func maskOf(mask int) graph.Set {
	var s graph.Set
	for v := 0; mask>>v != 0; v++ {
		if mask>>v&1 == 1 {
			s.Add(v)
		}
	}
	return s
}

// independent tells by looking at each edge whether none has both ends in mask.
func independent(edges []edge, mask int) bool {
	return !slices.ContainsFunc(edges, func(e edge) bool {
		return mask>>e[0]&1 == 1 && mask>>e[1]&1 == 1
	})
}

// neighbours are the vertices joined to v.
func neighbours(g *graph.Graph, v int) (out graph.Set) {
	for u := range g.N() {
		if g.Has(u, v) {
			out.Add(u)
		}
	}
	return out
}

// edgesOf is the number of edges.
func edgesOf(g *graph.Graph) (n int) {
	for v := range g.N() {
		n += neighbours(g, v).Len()
	}
	return n / 2
}
