package graph_test

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"commensal/internal/stocking/graph"

	"pgregory.net/rapid"
)

const all = 1 << 20 // more solutions than any test has

// coverByTrying finds all cheapest covers among all subsets. The order is that of
// their ascending member lists.
func coverByTrying(n int, edges []edge, w []float64, pinned, forced int) (sets [][]int, best int64) {
	best = math.MaxInt64
	for out := range 1 << n {
		if out&pinned != 0 || out&forced != forced || !independent(edges, (1<<n-1)&^out) {
			continue
		}
		var cost int64
		for v := range n {
			cost += int64(out>>v&1) * micro(w, v)
		}
		if cost < best {
			sets, best = nil, cost
		}
		if cost == best {
			sets = append(sets, maskOf(out).Members())
		}
	}
	slices.SortFunc(sets, slices.Compare[[]int])
	return sets, best
}

func TestCoverFindsExactlyTheBestSetsThatTryingAllFinds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 12).Draw(t, "n")
		edges, w := drawEdges(t, n), drawWeights(t, n)
		most := rapid.SampledFrom([]int{0, 1, 2, 5, all}).Draw(t, "most")
		want, cost := coverByTrying(n, edges, w, 0, 0)
		r := graph.Cover(build(n, edges), graph.CoverOptions{Weight: w, MaxSolutions: most})
		if !r.Optimal || r.Err != nil || r.Cost != r.LowerBound || r.Cost != float64(cost)/1e6 {
			t.Fatalf("cost %v (optimal %v, error %v), want %d millionths", r.Cost, r.Optimal, r.Err, cost)
		}
		shown := min(max(most, 1), len(want))
		if !reflect.DeepEqual(r.Sets, want[:shown]) || r.Complete != (shown == len(want)) {
			t.Fatalf("sets %v (complete %v), want the first %d of %v", r.Sets, r.Complete, shown, want)
		}
	})
}

func TestPinnedAndForcedAreRespectedAtTheLeastCost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 11).Draw(t, "n")
		edges, w := drawEdges(t, n), drawWeights(t, n)
		pinned := rapid.IntRange(0, 1<<n-1).Draw(t, "pinned") & rapid.IntRange(0, 1<<n-1).Draw(t, "fewer")
		forced := rapid.IntRange(0, 1<<n-1).Draw(t, "forced")
		want, cost := coverByTrying(n, edges, w, pinned, forced)
		r := graph.Cover(build(n, edges), graph.CoverOptions{
			Weight: w, MaxSolutions: all, Pinned: maskOf(pinned), Forced: maskOf(forced),
		})
		if want == nil {
			if len(r.Infeasible) == 0 || r.Sets != nil || r.Optimal {
				t.Fatalf("impossible pins, but the answer is %+v", r)
			}
			return
		}
		if r.Infeasible != nil || !reflect.DeepEqual(r.Sets, want) || r.Cost != float64(cost)/1e6 || !r.Complete {
			t.Fatalf("answer %+v, want %v for %d millionths", r, want, cost)
		}
	})
}

func TestEachImpossiblePinIsNamed(t *testing.T) {
	g := build(5, []edge{{3, 1}, {1, 2}, {0, 4}})
	r := graph.Cover(g, graph.CoverOptions{Pinned: graph.SetOf(1, 2, 3, 4), Forced: graph.SetOf(2)})
	want := [][2]int{{1, 2}, {1, 3}, {2, 2}}
	if !reflect.DeepEqual(r.Infeasible, want) || r.Sets != nil {
		t.Errorf("infeasible %v with sets %v, want %v and none", r.Infeasible, r.Sets, want)
	}
}

func TestSumsThatAreEqualInDecimalsTie(t *testing.T) {
	// Leaving out 0 and 1 costs 0.1 + 0.2, leaving out 2 costs 0.3; in floating point
	// the two differ.
	g := build(3, []edge{{0, 2}, {1, 2}})
	r := graph.Cover(g, graph.CoverOptions{Weight: []float64{0.1, 0.2, 0.3}, MaxSolutions: 5})
	if !reflect.DeepEqual(r.Sets, [][]int{{0, 1}, {2}}) || r.Cost != 0.3 || !r.Complete {
		t.Errorf("sets %v for %v, want both ways for 0.3", r.Sets, r.Cost)
	}
}

func TestAWeightBelowOneStepStillCounts(t *testing.T) {
	r := graph.Cover(build(2, []edge{{0, 1}}), graph.CoverOptions{Weight: []float64{1e-9, 1}})
	if !reflect.DeepEqual(r.Sets, [][]int{{0}}) || r.Cost != 1e-6 {
		t.Errorf("sets %v for %v, want vertex 0 for one step", r.Sets, r.Cost)
	}
}

func TestCoverRefusesBadInput(t *testing.T) {
	g := build(2, []edge{{0, 1}})
	cases := []struct {
		name string
		o    graph.CoverOptions
		want error
	}{
		{"a weight of zero", graph.CoverOptions{Weight: []float64{1, 0}}, graph.ErrWeight},
		{"a negative weight", graph.CoverOptions{Weight: []float64{1, -1}}, graph.ErrWeight},
		{"a weight that is not a number", graph.CoverOptions{Weight: []float64{math.NaN(), 1}}, graph.ErrWeight},
		{"an infinite weight", graph.CoverOptions{Weight: []float64{1, math.Inf(1)}}, graph.ErrWeight},
		{"a weight too many", graph.CoverOptions{Weight: []float64{1, 1, 1}}, graph.ErrSize},
		{"a pin that is not a vertex", graph.CoverOptions{Pinned: graph.SetOf(2)}, graph.ErrVertex},
		{"a forced number that is not a vertex", graph.CoverOptions{Forced: graph.SetOf(99)}, graph.ErrVertex},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if r := graph.Cover(g, c.o); r.Err != c.want || r.Sets != nil {
				t.Errorf("error %v with sets %v, want %v and none", r.Err, r.Sets, c.want)
			}
		})
	}
	if r := graph.Cover(nil, graph.CoverOptions{}); r.Err != graph.ErrSize {
		t.Errorf("no graph at all gives %v, want ErrSize", r.Err)
	}
}
