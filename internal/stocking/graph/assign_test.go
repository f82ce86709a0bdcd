package graph_test

import (
	"math"
	"reflect"
	"testing"

	"commensal/internal/stocking/graph"

	"pgregory.net/rapid"
)

// placing is a drawn problem of a few vertices and bins.
type placing struct {
	n, bins int
	edges   []edge
	w       []float64
	rules   []fitRule
	costs   [][]float64 // by bin and vertex, +Inf where ruled out
}

func drawPlacing(t *rapid.T, n, bins int) placing {
	p := placing{n: n, bins: bins, edges: drawEdges(t, n), w: drawWeights(t, n)}
	cost := rapid.SampledFrom([]float64{-2, 0, 0.1, 0.2, 0.3, 1, 1, 2, 5, math.Inf(1)})
	for range bins {
		p.rules = append(p.rules, drawRule(t, n))
		p.costs = append(p.costs, rapid.SliceOfN(cost, n, n).Draw(t, "costs"))
	}
	return p
}

func (p placing) fits(bin int, s graph.Set) bool { return p.rules[bin].fits(s) }
func (p placing) cost(bin, v int) float64        { return p.costs[bin][v] }

func (p placing) solve(o graph.AssignOptions) graph.AssignResult {
	o.Weight = p.w
	return graph.Assign(p.n, p.bins, build(p.n, p.edges), p.fits, p.cost, o)
}

// value is what an assignment loses and costs in millionths; false if not allowed.
func (p placing) value(bin []int) (lost, cost int64, ok bool) {
	in := make([]int, p.bins)
	for v, b := range bin {
		if b < 0 {
			lost += micro(p.w, v)
			continue
		}
		if math.IsInf(p.costs[b][v], 1) {
			return 0, 0, false
		}
		cost += int64(math.Round(p.costs[b][v] * 1e6))
		in[b] |= 1 << v
	}
	for b, members := range in {
		if members != 0 && (!independent(p.edges, members) || !p.fits(b, maskOf(members))) {
			return 0, 0, false
		}
	}
	return lost, cost, true
}

// byTrying is the best value among all assignments.
func (p placing) byTrying() (lost, cost int64) {
	lost, cost = math.MaxInt64, math.MaxInt64
	bin := make([]int, p.n)
	var place func(v int)
	place = func(v int) {
		if v == p.n {
			l, c, ok := p.value(bin)
			if ok && (l < lost || l == lost && c < cost) {
				lost, cost = l, c
			}
			return
		}
		for bin[v] = -1; bin[v] < p.bins; bin[v]++ {
			place(v + 1)
		}
	}
	place(0)
	return lost, cost
}

func TestAssignIsAsGoodAsTryingAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlacing(t, rapid.IntRange(0, 6).Draw(t, "n"), rapid.IntRange(0, 3).Draw(t, "bins"))
		r := p.solve(graph.AssignOptions{})
		lost, cost, ok := p.value(r.Bin)
		if !ok || r.Lost != float64(lost)/1e6 || r.Cost != float64(cost)/1e6 {
			t.Fatalf("%+v is not allowed, or its price is not %d and %d", r, lost, cost)
		}
		if l, c := p.byTrying(); l != lost || c != cost || !r.Optimal || r.LowerLost != r.Lost || r.LowerBound != r.Cost {
			t.Fatalf("%+v, but %d and %d is possible", r, l, c)
		}
	})
}

func TestAssignOfPairwiseConflictsIsTheBestMatching(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlacing(t, rapid.IntRange(2, 7).Draw(t, "n"), rapid.IntRange(1, 4).Draw(t, "bins"))
		p.edges = nil
		for v := range p.n {
			for u := range v {
				p.edges = append(p.edges, edge{u, v})
			}
		}
		r := p.solve(graph.AssignOptions{})
		l, c := p.byTrying()
		if r.Lost != float64(l)/1e6 || r.Cost != float64(c)/1e6 || !r.Optimal {
			t.Fatalf("%+v, but %d and %d is possible", r, l, c)
		}
	})
}

func TestAssignAtTheNodeLimitStaysValidAndBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlacing(t, rapid.IntRange(3, 6).Draw(t, "n"), rapid.IntRange(1, 3).Draw(t, "bins"))
		r := p.solve(graph.AssignOptions{NodeLimit: rapid.Int64Range(1, 8).Draw(t, "limit")})
		l, c := p.byTrying()
		lost, cost := float64(l)/1e6, float64(c)/1e6
		if _, _, ok := p.value(r.Bin); !ok || r.Lost < lost || r.Lost == lost && r.Cost < cost {
			t.Fatalf("%+v is not allowed or better than the best, %v and %v", r, lost, cost)
		}
		if r.LowerLost > lost || r.LowerLost == lost && r.LowerBound > cost {
			t.Fatalf("bounds %v and %v are above the truth, %v and %v", r.LowerLost, r.LowerBound, lost, cost)
		}
		if r.Optimal != (r.LowerLost == r.Lost && r.LowerBound == r.Cost) {
			t.Fatalf("optimal %v with %+v", r.Optimal, r)
		}
	})
}

func TestBinsThatAreAlikeMayBeNamedSoWithoutLoss(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlacing(t, rapid.IntRange(1, 6).Draw(t, "n"), 3)
		p.rules[2], p.costs[2] = p.rules[0], p.costs[0]
		plain := p.solve(graph.AssignOptions{})
		alike := p.solve(graph.AssignOptions{Alike: []int{7, 3, 7}})
		if plain.Lost != alike.Lost || plain.Cost != alike.Cost || !alike.Optimal || alike.Nodes > plain.Nodes {
			t.Fatalf("%+v, and with equal bins named %+v", plain, alike)
		}
	})
}

func TestAssignOfUnusualInput(t *testing.T) {
	costs := func(c float64) func(int, int) float64 { return func(int, int) float64 { return c } }
	cases := []struct {
		name    string
		n, bins int
		cost    func(bin, v int) float64
		o       graph.AssignOptions
		bin     []int
		wrong   error
	}{
		{"nothing to place", 0, 2, nil, graph.AssignOptions{}, []int{}, nil},
		{"no bins leave everything without a place", 2, 0, nil, graph.AssignOptions{}, []int{-1, -1}, nil},
		{"no rules and no costs put all in the first bin", 3, 2, nil, graph.AssignOptions{}, []int{0, 0, 0}, nil},
		{"an infinite cost rules a place out", 2, 1, costs(math.Inf(1)), graph.AssignOptions{}, []int{-1, -1}, nil},
		{"a cost that is not a number is refused", 1, 1, costs(math.NaN()), graph.AssignOptions{}, nil, graph.ErrCost},
		{"a cost too low is refused", 1, 1, costs(math.Inf(-1)), graph.AssignOptions{}, nil, graph.ErrCost},
		{"a cost too high is refused", 1, 1, costs(2 * graph.MaxWeight), graph.AssignOptions{}, nil, graph.ErrCost},
		{"a weight of zero is refused", 1, 1, costs(0), graph.AssignOptions{Weight: []float64{0}}, nil, graph.ErrWeight},
		{"kinds for the wrong number of bins are refused", 1, 1, nil, graph.AssignOptions{Alike: []int{1, 1}}, nil, graph.ErrSize},
		{"a negative number of bins is refused", 1, -1, nil, graph.AssignOptions{}, nil, graph.ErrSize},
		{"too many bins are refused", 1, graph.MaxBins + 1, nil, graph.AssignOptions{}, nil, graph.ErrSize},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := graph.Assign(c.n, c.bins, nil, nil, c.cost, c.o)
			if r.Err != c.wrong || !reflect.DeepEqual(r.Bin, c.bin) || r.Optimal != (c.wrong == nil) {
				t.Errorf("%+v, want bins %v and error %v", r, c.bin, c.wrong)
			}
		})
	}
}
