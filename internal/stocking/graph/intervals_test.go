package graph_test

import (
	"slices"
	"testing"

	"commensal/internal/stocking/graph"

	"pgregory.net/rapid"
)

// span is a closed interval.
type span struct{ low, high int }

func drawSpans(t *rapid.T, n int) []span {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) span {
		low := rapid.IntRange(0, 60).Draw(t, "low")
		return span{low, low + rapid.IntRange(0, 25).Draw(t, "length")}
	}), n, n).Draw(t, "spans")
}

func (s span) meets(o span) bool { return s.low <= o.high && o.low <= s.high }

// mostApart is the most intervals without a common point in pairs: take the one that
// ends first, again and again. It is also the fewest points that pierce all.
func mostApart(spans []span) int {
	byEnd := slices.Clone(spans)
	slices.SortFunc(byEnd, func(a, b span) int { return a.high - b.high })
	count, end := 0, -1
	for _, s := range byEnd {
		if s.low > end {
			count, end = count+1, s.high
		}
	}
	return count
}

// deepest is the most intervals over one point.
func deepest(spans []span) int {
	most := 0
	for _, s := range spans {
		depth := 0
		for _, o := range spans {
			if o.low <= s.low && s.low <= o.high {
				depth++
			}
		}
		most = max(most, depth)
	}
	return most
}

// heaviestStack is the greatest weight of intervals over one point.
func heaviestStack(spans []span, w []float64) int {
	most := 0
	for _, s := range spans {
		sum := 0
		for v, o := range spans {
			if o.low <= s.low && s.low <= o.high {
				sum += int(w[v])
			}
		}
		most = max(most, sum)
	}
	return most
}

// Graphs of intervals have known fast solutions at every size, so they check the
// solvers where trying all is out of reach.
func TestIntervalsOfManyLinesAreSolvedAsTheFastMethodsDo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 120).Draw(t, "n")
		spans := drawSpans(t, n)
		weight := rapid.SliceOfN(rapid.Map(rapid.IntRange(1, 9), func(i int) float64 { return float64(i) }), n, n).Draw(t, "weights")
		total := 0
		for _, w := range weight {
			total += int(w)
		}
		meet := where(n, func(u, v int) bool { return spans[u].meets(spans[v]) })
		apart := where(n, func(u, v int) bool { return !spans[u].meets(spans[v]) })
		// Where meeting is the conflict, those that stay are apart and groups are
		// rows of intervals; where being apart is the conflict, those that stay share
		// a point and groups are pierced by one point each.
		checks := []largeCheck{
			leaving("left out where meeting is the conflict", meet, nil, float64(n-mostApart(spans))),
			leaving("left out where being apart is the conflict", apart, nil, float64(n-deepest(spans))),
			leaving("weight left out where being apart is the conflict", apart, weight, float64(total-heaviestStack(spans, weight))),
			grouping("groups where meeting is the conflict", meet, deepest(spans)),
			grouping("groups where being apart is the conflict", apart, mostApart(spans)),
		}
		for _, c := range checks {
			if c.got != c.want || !c.proved {
				t.Fatalf("%s: %v (proved %v), want %v", c.what, c.got, c.proved, c.want)
			}
		}
	})
}

// largeCheck is one number found by a solver and by a fast method.
type largeCheck struct {
	what      string
	got, want float64
	proved    bool
}

func leaving(what string, g *graph.Graph, w []float64, want float64) largeCheck {
	r := graph.Cover(g, graph.CoverOptions{Weight: w})
	return largeCheck{what, r.Cost, want, r.Optimal}
}

func grouping(what string, g *graph.Graph, want int) largeCheck {
	r := graph.Partition(g.N(), g, nil, graph.PartitionOptions{})
	return largeCheck{what, float64(len(r.Groups)), float64(want), r.Optimal}
}
