package graph_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"commensal/internal/stocking/graph"
)

// assignmentRow is a published assignment problem: rows to different columns, at the
// least cost or the greatest rating.
type assignmentRow struct {
	ID     string `json:"id"`
	Inputs struct {
		Cost   [][]float64 `json:"cost"`
		Rating [][]float64 `json:"rating"`
	} `json:"inputs"`
	Expected json.RawMessage `json:"expected"` // the optimum, and how many reach it
	Source   string          `json:"source"`
}

func assignmentRows(t *testing.T) (out []assignmentRow) {
	t.Helper()
	data, err := os.ReadFile("../../../testdata/check-values/graph.json")
	if err != nil {
		t.Fatal(err)
	}
	var raw []json.RawMessage
	if err := json.Unmarshal(data, &raw); err != nil {
		t.Fatal(err)
	}
	for _, text := range raw {
		var head struct {
			ID string `json:"id"`
		}
		if err := json.Unmarshal(text, &head); err != nil {
			t.Fatal(err)
		}
		if strings.HasPrefix(head.ID, "13.") {
			var r assignmentRow
			if err := json.Unmarshal(text, &r); err != nil || r.Source == "" {
				t.Fatalf("%s: %v", text, err)
			}
			out = append(out, r)
		}
	}
	return out
}

func TestPublishedAssignmentsHaveTheirPublishedOptimum(t *testing.T) {
	rows := assignmentRows(t)
	if len(rows) != 7 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, r := range rows {
		table, sign := r.Inputs.Cost, 1.0
		if table == nil {
			table, sign = r.Inputs.Rating, -1
		}
		var want []float64
		if err := json.Unmarshal(r.Expected, &want); err != nil {
			t.Fatal(err)
		}
		apart := graph.New(len(table))
		for v := range table {
			for u := range v {
				apart.AddEdge(u, v)
			}
		}
		cost := func(bin, v int) float64 { return sign * table[v][bin] }
		got := graph.Assign(len(table), len(table[0]), apart, nil, cost, graph.AssignOptions{})
		if got.Err != nil || !got.Optimal || got.Lost != 0 || sign*got.Cost != want[0] {
			t.Errorf("row %s (%s): %+v, want %v", r.ID, r.Source, got, want[0])
		}
		always := func(int, graph.Set) bool { return true } // the search must come to the same
		searched := graph.Assign(len(table), len(table[0]), apart, always, cost, graph.AssignOptions{})
		if searched.Cost != got.Cost || !searched.Optimal {
			t.Errorf("row %s: the search finds %+v", r.ID, searched)
		}
	}
}
