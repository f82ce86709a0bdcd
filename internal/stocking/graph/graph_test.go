package graph_test

import (
	"errors"
	"slices"
	"testing"

	"commensal/internal/stocking/graph"

	"pgregory.net/rapid"
)

func TestGraphKeepsItsFirstMistake(t *testing.T) {
	cases := []struct {
		name string
		make func() *graph.Graph
		want error
	}{
		{"a negative size", func() *graph.Graph { return graph.New(-1) }, graph.ErrSize},
		{"a size beyond the greatest", func() *graph.Graph { return graph.New(graph.MaxVertices + 1) }, graph.ErrSize},
		{"an edge to a vertex that does not exist", func() *graph.Graph { return build(3, []edge{{0, 3}}) }, graph.ErrVertex},
		{"an edge to a negative vertex", func() *graph.Graph { return build(3, []edge{{-1, 0}}) }, graph.ErrVertex},
		{"a loop", func() *graph.Graph { return build(3, []edge{{2, 2}}) }, graph.ErrLoop},
		{"a loop before an unknown vertex", func() *graph.Graph { return build(3, []edge{{2, 2}, {0, 9}}) }, graph.ErrLoop},
		{"edges that are fine, one of them twice", func() *graph.Graph { return build(3, []edge{{0, 1}, {1, 0}}) }, nil},
		{"the greatest size", func() *graph.Graph { return graph.New(graph.MaxVertices) }, nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			g := c.make()
			if !errors.Is(g.Err(), c.want) {
				t.Errorf("Err() = %v, want %v", g.Err(), c.want)
			}
			if r := graph.Cover(g, graph.CoverOptions{}); !errors.Is(r.Err, c.want) {
				t.Errorf("Cover gives %v, want %v", r.Err, c.want)
			}
			if r := graph.Partition(g.N(), g, nil, graph.PartitionOptions{}); !errors.Is(r.Err, c.want) {
				t.Errorf("Partition gives %v, want %v", r.Err, c.want)
			}
			if r := graph.Assign(g.N(), 1, g, nil, nil, graph.AssignOptions{}); !errors.Is(r.Err, c.want) {
				t.Errorf("Assign gives %v, want %v", r.Err, c.want)
			}
		})
	}
}

func TestAnEdgeIsSeenFromBothEndsAndCountedOnce(t *testing.T) {
	g := build(4, []edge{{2, 0}, {0, 2}, {3, 0}})
	if !g.Has(0, 2) || !g.Has(2, 0) || g.Has(2, 3) || g.Has(0, 4) || g.Has(-1, 0) {
		t.Error("Has is wrong about an edge")
	}
	if g.Degree(0) != 2 || g.Degree(1) != 0 || g.Degree(4) != 0 || g.Edges() != 2 {
		t.Errorf("degrees %d %d %d, edges %d", g.Degree(0), g.Degree(1), g.Degree(4), g.Edges())
	}
}

func TestInducedKeepsJustTheEdgesInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 30).Draw(t, "n")
		g := build(n, drawEdges(t, n))
		s := graph.SetOf(rapid.SliceOf(rapid.IntRange(0, 35)).Draw(t, "kept")...)
		sub, old := g.Induced(s)
		if sub.N() != len(old) || !slices.IsSorted(old) || sub.Err() != nil {
			t.Fatalf("%d vertices named %v, error %v", sub.N(), old, sub.Err())
		}
		for i := range old {
			if !s.Has(old[i]) || old[i] >= n {
				t.Fatalf("vertex %d was not asked for", old[i])
			}
			for j := range old {
				if sub.Has(i, j) != g.Has(old[i], old[j]) {
					t.Fatalf("edge %d-%d differs", old[i], old[j])
				}
			}
		}
	})
}
