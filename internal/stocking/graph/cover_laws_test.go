package graph_test

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"commensal/internal/stocking/graph"

	"pgregory.net/rapid"
)

func TestCoverCostDoesNotDependOnTheNamesOfTheVertices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 35).Draw(t, "n")
		edges, w := drawEdges(t, n), drawWeights(t, n)
		perm := drawPermutation(t, n)
		var moved []float64
		if w != nil {
			moved = make([]float64, n)
			for v := range w {
				moved[perm[v]] = w[v]
			}
		}
		a := graph.Cover(build(n, edges), graph.CoverOptions{Weight: w, MaxSolutions: 500})
		b := graph.Cover(build(n, permuted(edges, perm)), graph.CoverOptions{Weight: moved, MaxSolutions: 500})
		if !a.Optimal || !b.Optimal || a.Cost != b.Cost || a.Complete != b.Complete || len(a.Sets) != len(b.Sets) {
			t.Fatalf("cost %v with %d sets, renamed %v with %d", a.Cost, len(a.Sets), b.Cost, len(b.Sets))
		}
	})
}

func TestCoverDoesNotDependOnTheOrderOfEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 35).Draw(t, "n")
		edges := drawEdges(t, n)
		shuffled := make([]edge, len(edges))
		for i, j := range rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "order"), 1)).Perm(len(edges)) {
			shuffled[i] = edge{edges[j][1], edges[j][0]}
		}
		o := graph.CoverOptions{Weight: drawWeights(t, n), MaxSolutions: 10}
		a, b := graph.Cover(build(n, edges), o), graph.Cover(build(n, shuffled), o)
		if !reflect.DeepEqual(a, b) {
			t.Fatalf("answers differ: %+v and %+v", a, b)
		}
	})
}

// checkCover fails unless each set covers all edges and costs what is said.
func checkCover(t interface{ Fatalf(string, ...any) }, edges []edge, w []float64, r graph.CoverResult) {
	for _, set := range r.Sets {
		out := graph.SetOf(set...)
		var cost int64
		for _, v := range set {
			cost += micro(w, v)
		}
		for _, e := range edges {
			if !out.Has(e[0]) && !out.Has(e[1]) {
				t.Fatalf("edge %v is not covered by %v", e, set)
			}
		}
		if float64(cost)/1e6 != r.Cost {
			t.Fatalf("%v costs %d millionths, said to be %v", set, cost, r.Cost)
		}
	}
}

func TestTheGapAtTheNodeLimitHoldsTheTruth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(20, 55).Draw(t, "n")
		edges := drawEdges(t, n)
		if parts := rapid.IntRange(1, 3).Draw(t, "parts"); parts > 1 {
			// Unconnected parts, so that the limit can fall between them.
			edges = slices.DeleteFunc(edges, func(e edge) bool { return e[0]%parts != e[1]%parts })
		}
		w := drawWeights(t, n)
		g := build(n, edges)
		truth := graph.Cover(g, graph.CoverOptions{Weight: w})
		for limit := int64(1); limit < 400; limit = limit*5/4 + 1 {
			r := graph.Cover(g, graph.CoverOptions{Weight: w, NodeLimit: limit, MaxSolutions: 50})
			checkCover(t, edges, w, r)
			if len(r.Sets) == 0 || r.LowerBound > truth.Cost || r.Cost < truth.Cost {
				t.Fatalf("limit %d: the truth %v is outside %v to %v", limit, truth.Cost, r.LowerBound, r.Cost)
			}
			if r.Optimal != ((r.Cost-r.LowerBound) == 0) || r.Complete && !r.Optimal {
				t.Fatalf("limit %d: optimal %v and complete %v with a gap of %v", limit, r.Optimal, r.Complete, (r.Cost - r.LowerBound))
			}
		}
	})
}

func TestAListingCutShortIsTheBeginningOfTheFullOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(5, 30).Draw(t, "n")
		g := build(n, drawEdges(t, n))
		full := graph.Cover(g, graph.CoverOptions{MaxSolutions: 2000})
		r := graph.Cover(g, graph.CoverOptions{MaxSolutions: 2000, NodeLimit: rapid.Int64Range(1, 200).Draw(t, "limit")})
		if !full.Optimal || !r.Optimal {
			return
		}
		if len(r.Sets) == 1 && !r.Complete {
			return // the first one proved may stand alone, wherever it is in the order
		}
		if !reflect.DeepEqual(r.Sets, full.Sets[:len(r.Sets)]) || r.Complete && !full.Complete {
			t.Fatalf("%v is not the beginning of %v", r.Sets, full.Sets)
		}
	})
}

func TestFamiliesHaveTheirKnownNumberOfBestCovers(t *testing.T) {
	cases := []struct {
		name string
		n    int
		edge func(u, v int) bool
		cost float64
		sets int
	}{
		{"a ring of 41 has 41, each with one pair of neighbours", 41, func(u, v int) bool { return (v-u)%41 == 1 || v-u == 40 }, 21, 41},
		{"a ring of 60 has 2, the even and the odd", 60, func(u, v int) bool { return v-u == 1 || v-u == 59 }, 30, 2},
		{"a complete graph of 50 has 50, one for each that stays", 50, func(_, _ int) bool { return true }, 49, 50},
		{"ten single edges have 1024", 20, func(u, v int) bool { return v == u+1 && u%2 == 0 }, 10, 1024},
		{"a star of 200 has one, its centre", 200, func(u, _ int) bool { return u == 0 }, 1, 1},
		{"no edges leave one empty set", 200, func(_, _ int) bool { return false }, 0, 1},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			g := where(c.n, c.edge)
			r := graph.Cover(g, graph.CoverOptions{MaxSolutions: 5000})
			if !r.Complete || r.Cost != c.cost || len(r.Sets) != c.sets {
				t.Errorf("%d sets for %v (complete %v), want %d for %v", len(r.Sets), r.Cost, r.Complete, c.sets, c.cost)
			}
		})
	}
}
