package leaveout_test

import (
	"testing"

	"commensal/internal/stocking/graph"
	"commensal/internal/stocking/leaveout"
)

// Of seven lines that all clash any six may go: five of these sets are told, and that there are more.
func TestFiveSetsAreTold(t *testing.T) {
	g := graph.New(7)
	for a := range 7 {
		for b := range a {
			g.AddEdge(a, b)
		}
	}
	p := leaveout.Problem{Hard: g, Weight: []float64{1, 1, 1, 1, 1, 1, 1}}
	if r := p.Cover(); len(r.Sets) != 5 || r.Complete || r.Cost != 6 {
		t.Errorf("%+v", r)
	}
}
