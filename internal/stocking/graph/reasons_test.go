package graph_test

import (
	"reflect"
	"testing"

	"commensal/internal/stocking/graph"

	"pgregory.net/rapid"
)

func TestReasonsNameTheNeighboursThatStay(t *testing.T) {
	g := build(5, []edge{{0, 1}, {0, 2}, {0, 3}, {3, 4}})
	got := graph.Reasons(g, []int{3, 0, 7})
	want := []graph.Reason{{Vertex: 0, Stays: []int{1, 2}}, {Vertex: 3, Stays: []int{4}}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("reasons %v, want %v", got, want)
	}
}

func TestEveryVertexOfABestCoverHasAReason(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 40).Draw(t, "n")
		g := build(n, drawEdges(t, n))
		set := graph.Cover(g, graph.CoverOptions{}).Sets[0]
		reasons := graph.Reasons(g, set)
		if len(reasons) != len(set) {
			t.Fatalf("%d reasons for %d vertices", len(reasons), len(set))
		}
		for i, r := range reasons {
			if r.Vertex != set[i] || len(r.Stays) == 0 {
				t.Fatalf("vertex %d of %v has the reason %v", set[i], set, r)
			}
		}
	})
}
