package graph_test

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"commensal/internal/stocking/graph"
)

// row is one published check; its source is in the file.
type row struct {
	ID     string `json:"id"`
	Inputs struct {
		Graph     []string          `json:"graph"`
		Edges     string            `json:"edges"`
		Intervals map[string][2]int `json:"intervals"`
	} `json:"inputs"`
	Expected json.RawMessage `json:"expected"`
	Source   string          `json:"source"`
}

// published is the row of that number in testdata/check-values/graph.json.
func published(t *testing.T, id string) row {
	t.Helper()
	data, err := os.ReadFile("../../../testdata/check-values/graph.json")
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	if err := json.Unmarshal(data, &rows); err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		if r.ID == id && r.Source != "" {
			return r
		}
	}
	t.Fatalf("no row %s with a source", id)
	return row{}
}

func expect[T any](t *testing.T, r row) T {
	t.Helper()
	var v T
	if err := json.Unmarshal(r.Expected, &v); err != nil {
		t.Fatalf("row %s: %v", r.ID, err)
	}
	return v
}

func leftOut(t *testing.T, g *graph.Graph) int {
	t.Helper()
	r := graph.Cover(g, graph.CoverOptions{})
	if !r.Optimal {
		t.Fatalf("not solved: %+v", r)
	}
	return len(r.Sets[0])
}

func colours(t *testing.T, g *graph.Graph) int {
	t.Helper()
	r := graph.Partition(g.N(), g, nil, graph.PartitionOptions{})
	if !r.Optimal {
		t.Fatalf("not solved: %+v", r)
	}
	return len(r.Groups)
}

func TestNamedGraphsHaveTheirPublishedNumbers(t *testing.T) {
	cases := []struct {
		id, what string
		number   func(*testing.T, *graph.Graph) int
	}{
		{"12.6", "vertices that can stay", func(t *testing.T, g *graph.Graph) int { return g.N() - leftOut(t, g) }},
		{"12.7", "vertices left out", leftOut},
		{"12.8", "groups", colours},
		{"12.9", "groups", colours},
	}
	for _, c := range cases {
		r := published(t, c.id)
		want := expect[[]int](t, r)
		if len(want) != len(r.Inputs.Graph) || len(want) == 0 {
			t.Fatalf("row %s has %d graphs and %d values", c.id, len(r.Inputs.Graph), len(want))
		}
		for i, name := range r.Inputs.Graph {
			t.Run(fmt.Sprintf("%s %s in %s", c.id, c.what, name), func(t *testing.T) {
				g := named(name)
				if g == nil {
					t.Fatalf("no construction for %s", name)
				}
				if got := c.number(t, g); got != want[i] {
					t.Errorf("%d %s, want %d", got, c.what, want[i])
				}
			})
		}
	}
}

// intervalGraph joins the intervals that have no common point.
func intervalGraph(r row) *graph.Graph {
	letters := "ABCDE"
	return where(len(letters), func(u, v int) bool {
		a, b := r.Inputs.Intervals[letters[u:u+1]], r.Inputs.Intervals[letters[v:v+1]]
		return a[1] < b[0] || b[1] < a[0]
	})
}

func TestFewestIntervalsToRemoveIsAsPublished(t *testing.T) {
	r := published(t, "12.4")
	if got, want := leftOut(t, intervalGraph(r)), expect[int](t, r); got != want {
		t.Errorf("%d left out, want %d", got, want)
	}
}

func TestIntervalsWithACommonPointGroupAsPublished(t *testing.T) {
	// By Helly's theorem a group of pairwise meeting intervals has a common point, so
	// the fewest groups are the fewest points that pierce all.
	r := published(t, "12.5")
	if got, want := colours(t, intervalGraph(r)), expect[int](t, r); got != want {
		t.Errorf("%d groups, want %d", got, want)
	}
}

func TestThePublishedEdgeListIsTheSameGraphAsTheConstruction(t *testing.T) {
	r := published(t, "12.10")
	want := expect[[3]int](t, r)
	listed := graph.New(want[0])
	for _, pair := range strings.Fields(r.Inputs.Edges) {
		var u, v int
		if _, err := fmt.Sscanf(pair, "%d-%d", &u, &v); err != nil {
			t.Fatal(err)
		}
		listed.AddEdge(u-1, v-1)
	}
	for name, g := range map[string]*graph.Graph{"the list": listed, "the construction": named("myciel3")} {
		if g.Err() != nil || g.N() != want[0] || edgesOf(g) != want[1] || colours(t, g) != want[2] {
			t.Errorf("%s: %d vertices, %d edges, error %v, want %v", name, g.N(), edgesOf(g), g.Err(), want)
		}
	}
}
