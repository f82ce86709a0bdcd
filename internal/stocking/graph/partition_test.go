package graph_test

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"commensal/internal/stocking/graph"

	"pgregory.net/rapid"
)

// fitRule is a hereditary rule of the kinds that tanks have: a load that adds up, and
// trios that do not go together though their pairs do.
type fitRule struct {
	load  []int
	room  int
	trios []graph.Set
	// stated: the load is given to the solver as such.
	stated bool
}

func drawRule(t *rapid.T, n int) fitRule {
	r := fitRule{room: rapid.IntRange(3, 12).Draw(t, "room"), stated: rapid.Bool().Draw(t, "stated")}
	for range n {
		r.load = append(r.load, rapid.IntRange(1, 5).Draw(t, "load"))
	}
	for range rapid.IntRange(0, 4).Draw(t, "trios") {
		if n >= 3 {
			r.trios = append(r.trios, graph.SetOf(drawPermutation(t, n)[:3]...))
		}
	}
	return r
}

func (r fitRule) fits(s graph.Set) bool {
	sum := 0
	for _, v := range s.Members() {
		sum += r.load[v]
	}
	return sum <= r.room && r.noTrio(s)
}

func (r fitRule) noTrio(s graph.Set) bool {
	return !slices.ContainsFunc(r.trios, func(trio graph.Set) bool { return trio.Within(s) })
}

// options states the load and room where the rule says so.
func (r fitRule) options() graph.PartitionOptions {
	if !r.stated {
		return graph.PartitionOptions{}
	}
	return graph.PartitionOptions{Load: scaled(r.load), Room: float64(r.room) / 2}
}

// scaled is half of each number: loads need not be whole.
func scaled(load []int) []float64 {
	out := make([]float64, len(load))
	for v, l := range load {
		out[v] = float64(l) / 2
	}
	return out
}

// fewestByTrying is the fewest groups that hold all of n vertices, from the fewest
// groups for every subset.
func fewestByTrying(n int, edges []edge, fits func(graph.Set) bool) int {
	groups := make([]int, 1<<n)
	for s := 1; s < 1<<n; s++ {
		groups[s] = n + 1
	}
	for group := 1; group < 1<<n; group++ {
		if !independent(edges, group) || !fits(maskOf(group)) {
			continue
		}
		// Ascending groups, each over all sets: like coins in change-making, except
		// that the group must be inside the set.
		for s := group; s < 1<<n; s = (s + 1) | group {
			groups[s] = min(groups[s], groups[s&^group]+1)
		}
	}
	return groups[1<<n-1]
}

// checkGroups fails unless the groups are a partition of the placeable in canonical
// order without a conflict or a misfit.
func checkGroups(t *rapid.T, n int, g *graph.Graph, fits func(graph.Set) bool, r graph.PartitionResult) {
	seen := graph.SetOf(r.Unplaceable...)
	count := len(r.Unplaceable)
	for i, group := range r.Groups {
		count += len(group)
		for j, v := range group {
			seen.Add(v)
			for _, u := range group[:j] {
				if g.Has(u, v) {
					t.Fatalf("%d and %d share a group", u, v)
				}
			}
		}
		if !slices.IsSorted(group) || i > 0 && r.Groups[i-1][0] >= group[0] || !fits(graph.SetOf(group...)) {
			t.Fatalf("group %v after %v is out of order or does not fit", group, r.Groups[:i])
		}
	}
	if count != n || seen.Len() != n {
		t.Fatalf("%v and %v do not hold each of %d once", r.Groups, r.Unplaceable, n)
	}
}

func TestPartitionNeedsAsFewGroupsAsTryingAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		edges, rule := drawEdges(t, n), drawRule(t, n)
		g := build(n, edges)
		o := rule.options()
		ask := rule.fits
		if o.Load != nil && rapid.Bool().Draw(t, "room is stated only") {
			ask = rule.noTrio
		}
		r := graph.Partition(n, g, ask, o)
		checkGroups(t, n, g, rule.fits, r)
		for v, load := range rule.load {
			if slices.Contains(r.Unplaceable, v) != (load > rule.room) {
				t.Fatalf("load %d in room %d, unplaceable %v", load, rule.room, r.Unplaceable)
			}
		}
		inside := func(s graph.Set) bool { return rule.fits(s.Without(graph.SetOf(r.Unplaceable...))) }
		want := fewestByTrying(n, without(edges, r.Unplaceable), inside)
		if len(r.Groups) == 0 {
			want = 0 // the vertices that fit nowhere are one empty group to inside
		}
		if len(r.Groups) != want || !r.Optimal || r.LowerBound != want {
			t.Fatalf("%d groups (bound %d), want %d", len(r.Groups), r.LowerBound, want)
		}
	})
}

// without drops the edges at the given vertices.
func without(edges []edge, vs []int) []edge {
	gone := graph.SetOf(vs...)
	return slices.DeleteFunc(slices.Clone(edges), func(e edge) bool { return gone.Has(e[0]) || gone.Has(e[1]) })
}

func TestColouringNeedsAsFewColoursAsTryingAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		edges := drawEdges(t, n)
		anything := func(graph.Set) bool { return true }
		g := build(n, edges)
		r := graph.Partition(n, g, nil, graph.PartitionOptions{})
		checkGroups(t, n, g, anything, r)
		if want := fewestByTrying(n, edges, anything); len(r.Groups) != want || !r.Optimal {
			t.Fatalf("%d colours, want %d", len(r.Groups), want)
		}
		if same := graph.Partition(n, g, anything, graph.PartitionOptions{}); len(same.Groups) != len(r.Groups) {
			t.Fatalf("%d groups when asked, %d when not", len(same.Groups), len(r.Groups))
		}
	})
}

func TestGroupCountDoesNotDependOnNamesNorGroupsOnTheOrderOfEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 25).Draw(t, "n")
		edges := drawEdges(t, n)
		perm := drawPermutation(t, n)
		backwards := slices.Clone(edges)
		slices.Reverse(backwards)
		a := graph.Partition(n, build(n, edges), nil, graph.PartitionOptions{})
		b := graph.Partition(n, build(n, backwards), nil, graph.PartitionOptions{})
		c := graph.Partition(n, build(n, permuted(edges, perm)), nil, graph.PartitionOptions{})
		if !reflect.DeepEqual(a, b) || len(a.Groups) != len(c.Groups) || !a.Optimal || !c.Optimal {
			t.Fatalf("%v, backwards %v, renamed %v", a, b, c)
		}
	})
}

func TestPartitionAtTheNodeLimitStaysValidAndBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		edges, rule := drawEdges(t, n), drawRule(t, n)
		rule.room = max(rule.room, 5) // everything fits alone
		g := build(n, edges)
		o := rule.options()
		o.NodeLimit = rapid.Int64Range(1, 3).Draw(t, "limit")
		r := graph.Partition(n, g, rule.fits, o)
		checkGroups(t, n, g, rule.fits, r)
		want := fewestByTrying(n, edges, rule.fits)
		if r.LowerBound > want || len(r.Groups) < want || r.Optimal != (r.LowerBound == len(r.Groups)) {
			t.Fatalf("%d groups, bound %d, optimal %v; the truth is %d", len(r.Groups), r.LowerBound, r.Optimal, want)
		}
	})
}

func TestPartitionOfUnusualInput(t *testing.T) {
	none := graph.PartitionOptions{}
	nothing := func(graph.Set) bool { return false }
	cases := []struct {
		name  string
		n     int
		g     *graph.Graph
		fits  func(graph.Set) bool
		o     graph.PartitionOptions
		want  [][]int
		wrong error
	}{
		{"no vertices need no groups", 0, nil, nil, none, [][]int{}, nil},
		{"no graph means no conflicts", 3, nil, nil, none, [][]int{{0, 1, 2}}, nil},
		{"where nothing fits there are no groups", 2, nil, nothing, none, [][]int{}, nil},
		{"a graph of another size is refused", 3, graph.New(2), nil, none, nil, graph.ErrSize},
		{"a negative size is refused", -1, nil, nil, none, nil, graph.ErrSize},
		{"too great a size is refused", graph.MaxVertices + 1, nil, nil, none, nil, graph.ErrSize},
		{"no room holds what takes none", 2, nil, nil, graph.PartitionOptions{Load: []float64{0, 1}}, [][]int{{0}}, nil},
		{"endless room holds all", 2, nil, nil, graph.PartitionOptions{Load: []float64{5, 6}, Room: math.Inf(1)}, [][]int{{0, 1}}, nil},
		{"tenths fill a room exactly", 3, nil, nil, graph.PartitionOptions{Load: []float64{0.1, 0.2, 0.3}, Room: 0.3}, [][]int{{0, 1}, {2}}, nil},
		{"a negative load is refused", 1, nil, nil, graph.PartitionOptions{Load: []float64{-1}}, nil, graph.ErrLoad},
		{"a load that is not a number is refused", 1, nil, nil, graph.PartitionOptions{Load: []float64{math.NaN()}}, nil, graph.ErrLoad},
		{"a negative room is refused", 1, nil, nil, graph.PartitionOptions{Load: []float64{1}, Room: -1}, nil, graph.ErrLoad},
		{"a load too few is refused", 2, nil, nil, graph.PartitionOptions{Load: []float64{1}, Room: 1}, nil, graph.ErrSize},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := graph.Partition(c.n, c.g, c.fits, c.o)
			if r.Err != c.wrong || !reflect.DeepEqual(r.Groups, c.want) || r.Optimal != (c.wrong == nil) {
				t.Errorf("%+v, want groups %v and error %v", r, c.want, c.wrong)
			}
		})
	}
}
