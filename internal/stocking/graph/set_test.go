package graph_test

import (
	"slices"
	"testing"

	"commensal/internal/stocking/graph"

	"pgregory.net/rapid"
)

// drawSet draws members and builds the set from them.
func drawSet(t *rapid.T, label string) (map[int]bool, graph.Set) {
	vs := rapid.SliceOf(rapid.IntRange(0, graph.MaxVertices-1)).Draw(t, label)
	m := map[int]bool{}
	for _, v := range vs {
		m[v] = true
	}
	return m, graph.SetOf(vs...)
}

func TestSetAgreesWithAMapOfMembers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ma, a := drawSet(t, "a")
		mb, b := drawSet(t, "b")
		meets, within := false, true
		for v := -1; v <= graph.MaxVertices; v++ {
			x, y := ma[v], mb[v]
			if a.Has(v) != x || a.And(b).Has(v) != (x && y) || a.Or(b).Has(v) != (x || y) || a.Without(b).Has(v) != (x && !y) {
				t.Fatalf("membership of %d differs", v)
			}
			meets = meets || x && y
			within = within && (!x || y)
		}
		if a.Meets(b) != meets || a.Within(b) != within || a.Len() != len(ma) || a.Empty() != (len(ma) == 0) {
			t.Fatalf("a summary of %v and %v is wrong", a.Members(), b.Members())
		}
	})
}

func TestMembersAscendAndRebuildTheSet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, a := drawSet(t, "a")
		got := a.Members()
		if !slices.IsSorted(got) || len(got) != len(m) || graph.SetOf(got...) != a {
			t.Fatalf("members of the set of %v: %v", m, got)
		}
		for _, v := range got {
			a.Remove(v)
		}
		if !a.Empty() || a.Next(0) != -1 {
			t.Fatalf("not empty after removing all: %v", a.Members())
		}
	})
}

func TestSetIgnoresNumbersThatCannotBeVertices(t *testing.T) {
	s := graph.SetOf(-1, graph.MaxVertices, 5)
	s.Remove(-1)
	s.Remove(graph.MaxVertices)
	if got := s.Members(); !slices.Equal(got, []int{5}) {
		t.Errorf("members %v, want only 5", got)
	}
	if s.Has(-1) || s.Has(graph.MaxVertices) || s.Next(-3) != 5 || s.Next(graph.MaxVertices) != -1 {
		t.Error("a number outside the range is treated as a member")
	}
}
