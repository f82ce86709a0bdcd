package graph

import "commensal/internal/budget"

// DefaultNodeLimit is the number of search nodes allowed where a limit of 0 or less is
// given. A node takes some microseconds for tens of vertices, up to some tenths of a
// millisecond for 200 vertices or many bins, besides the time of the caller's fits.
const DefaultNodeLimit = 50_000

// CoverOptions says what leaving a vertex out costs and what is decided beforehand.
type CoverOptions struct {
	// Weight is the cost of leaving each vertex out: above 0, at most MaxWeight, and
	// counted in multiples of 1e-6 (rounded, at least one). Nil means 1 each.
	Weight []float64
	Pinned Set // these are never left out
	Forced Set // these are left out in any case
	// MaxSolutions is the greatest number of best sets to list; 0 or less means 1.
	MaxSolutions int
	// NodeLimit bounds the search; 0 or less means DefaultNodeLimit.
	NodeLimit int64
	// Budget ends the search too; nil never does.
	Budget *budget.Budget
}

// CoverResult is the answer of Cover.
type CoverResult struct {
	// Sets are the sets to leave out, each ascending. When Optimal they are the first
	// of all best sets in lexicographic order, up to MaxSolutions. When the node limit
	// ended the listing, they are the first of those; when it ended the search for the
	// best cost, the only set is the best one known. Nil when Infeasible or Err is set.
	Sets       [][]int
	Cost       float64 // cost of each of the sets
	LowerBound float64 // no set costs less; equals Cost when Optimal
	Optimal    bool    // Cost is proved to be the least
	Complete   bool    // Optimal, and Sets lists every best set
	Nodes      int64   // search nodes used
	// Infeasible lists the pinned pairs that conflict, smaller vertex first, in
	// ascending order. A vertex both pinned and forced is listed as a pair with itself.
	Infeasible [][2]int
	Err        error // ErrSize, ErrVertex, ErrWeight or the graph's own Err; nil otherwise
}

// Cover finds the cheapest vertices to leave out so that no edge of g remains: a vertex
// cover of least weight, containing Forced and avoiding Pinned. It is exact up to the
// node limit and states its gap beyond.
//
// Method: reductions, components, clique and half-integral bounds find the least
// cost; a second pass lists the sets of that cost, deciding vertices in ascending
// order and entering only branches that are proved to hold one.
func Cover(g *Graph, o CoverOptions) CoverResult {
	w, err := coverInput(g, &o)
	if err != nil {
		return CoverResult{Err: err}
	}
	if clash := pinnedClashes(g, o.Pinned, o.Forced); clash != nil {
		return CoverResult{Infeasible: clash}
	}
	s := newSolver(g.adj, w, newMeter(o.NodeLimit, o.Budget, g.N(), 1))
	fixed := o.Forced
	for v := o.Pinned.Next(0); v >= 0; v = o.Pinned.Next(v + 1) {
		fixed = fixed.Or(g.adj[v])
	}
	return s.cover(firstN(g.N()).Without(fixed).Without(o.Pinned), fixed, o.MaxSolutions)
}

// coverInput checks the input, fills in defaults and returns the weights in steps.
func coverInput(g *Graph, o *CoverOptions) ([]int64, error) {
	if g == nil {
		return nil, ErrSize
	}
	if g.err != nil {
		return nil, g.err
	}
	if !o.Pinned.Or(o.Forced).Within(firstN(g.N())) {
		return nil, ErrVertex
	}
	o.MaxSolutions = max(o.MaxSolutions, 1)
	return weightsInSteps(g.N(), o.Weight)
}

// pinnedClashes lists the pairs that make the pins impossible.
func pinnedClashes(g *Graph, pinned, forced Set) [][2]int {
	var out [][2]int
	for u := pinned.Next(0); u >= 0; u = pinned.Next(u + 1) {
		if forced.in(u) {
			out = append(out, [2]int{u, u})
		}
		both := g.adj[u].And(pinned)
		for v := both.Next(u + 1); v >= 0; v = both.Next(v + 1) {
			out = append(out, [2]int{u, v})
		}
	}
	return out
}

// cover decides the vertices of in, with fixed left out already.
func (s *solver) cover(in, fixed Set, most int) CoverResult {
	start := s.greedy(in)
	cost := s.weight(start)
	a := s.solve(in, cost, 0)
	if !a.found {
		a.cover, a.cost = start, cost
	}
	lower := min(a.lower, a.cost)
	base := s.weight(fixed)
	r := CoverResult{
		Cost:       fromSteps(base + a.cost),
		LowerBound: fromSteps(base + lower),
		Optimal:    lower == a.cost,
	}
	if r.Optimal {
		l := lister{s: s, fixed: fixed, most: most}
		r.Complete = l.list(in, Set{}, a.cover)
		r.Sets = l.sets
	}
	if r.Sets == nil {
		r.Sets = [][]int{fixed.Or(a.cover).Members()}
	}
	r.Nodes = s.nodes
	return r
}
