package graph_test

import (
	"math/bits"

	"commensal/internal/stocking/graph"
)

// where is the graph on n vertices with the edges u < v that the rule wants.
func where(n int, rule func(u, v int) bool) *graph.Graph {
	g := graph.New(n)
	for v := range n {
		for u := range v {
			if rule(u, v) {
				g.AddEdge(u, v)
			}
		}
	}
	return g
}

// kneser joins the k-element subsets of n things that have nothing in common.
func kneser(n, k int) *graph.Graph {
	var subsets []uint
	for s := range uint(1) << n {
		if bits.OnesCount(s) == k {
			subsets = append(subsets, s)
		}
	}
	return where(len(subsets), func(u, v int) bool { return subsets[u]&subsets[v] == 0 })
}

// paley joins numbers whose difference is a square modulo the prime p.
func paley(p int) *graph.Graph {
	square := make([]bool, p)
	for x := 1; x < p; x++ {
		square[x*x%p] = true
	}
	return where(p, func(u, v int) bool { return square[v-u] })
}

// queen joins the squares of a board of the given side that are a queen's move apart.
func queen(side int) *graph.Graph {
	return where(side*side, func(u, v int) bool {
		dr, dc := v/side-u/side, v%side-u%side
		return dr == 0 || dc == 0 || dr == dc || dr == -dc
	})
}

// mycielski is Mycielski's construction: a copy of each vertex joined to the
// original's neighbours, and one more vertex joined to all copies.
func mycielski(g *graph.Graph) *graph.Graph {
	n := g.N()
	return where(2*n+1, func(u, v int) bool {
		switch {
		case v == 2*n:
			return u >= n
		case v >= n:
			return u < n && g.Has(u, v-n)
		}
		return g.Has(u, v)
	})
}

func ring(n int) *graph.Graph {
	return where(n, func(u, v int) bool { return v-u == 1 || v-u == n-1 })
}

// named builds the graphs of the published rows by their names there.
func named(name string) *graph.Graph {
	switch name {
	case "Petersen":
		return kneser(5, 2)
	case "C5":
		return ring(5)
	case "K5":
		return where(5, func(_, _ int) bool { return true })
	case "K3,3":
		return where(6, func(u, v int) bool { return u < 3 && v >= 3 })
	case "3-cube":
		return where(8, func(u, v int) bool { return bits.OnesCount(uint(u^v)) == 1 })
	case "Paley-13":
		return paley(13)
	case "Grotzsch=myciel3", "myciel3":
		return mycielski(ring(5))
	case "myciel4":
		return mycielski(mycielski(ring(5)))
	case "Kneser K(6,2)":
		return kneser(6, 2)
	case "queen5_5":
		return queen(5)
	}
	return nil
}
