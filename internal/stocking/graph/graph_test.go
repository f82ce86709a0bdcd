package graph_test

import (
	"errors"
	"testing"

	"commensal/internal/stocking/graph"
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
	if n := edgesOf(g); n != 2 {
		t.Errorf("%d edges", n)
	}
}
