package graph

import "commensal/internal/budget"

// MaxBins is the greatest number of bins of Assign.
const MaxBins = 1024

// AssignOptions says what the vertices are worth and bounds the work of Assign.
type AssignOptions struct {
	// Weight is what each vertex counts for when not all can be placed; see
	// CoverOptions.Weight. Nil means 1 each.
	Weight []float64
	// Alike gives bins that are interchangeable (the same fits and costs for every vertex) the same number, so that equal choices are tried once. Nil means
	// that no two are known to be.
	Alike []int
	// NodeLimit bounds the search; 0 or less means DefaultNodeLimit.
	NodeLimit int64
	// Budget ends the search too; nil never does.
	Budget *budget.Budget
}

// AssignResult is the answer of Assign.
type AssignResult struct {
	Bin        []int   // the bin of each vertex, -1 for one without a place
	Unassigned []int   // the vertices without a place, ascending
	Lost       float64 // weight of the vertices without a place
	Cost       float64 // total cost of the places
	Optimal    bool    // no assignment loses less, nor as little for less cost
	// LowerLost: no assignment loses less weight. LowerBound: none that loses just
	// LowerLost costs less. They equal Lost and Cost when Optimal.
	LowerLost  float64
	LowerBound float64
	Nodes      int64 // search nodes used
	Err        error // ErrSize, ErrWeight, ErrCost or the graph's own Err; nil otherwise
}

// Assign places the vertices 0 to n-1 into the given bins: as much weight as possible,
// then at the least total cost. No edge of conflicts (nil for none) may lie inside a
// bin, and fits (nil for always) must hold for each bin that is not empty.
//
// Fits must be hereditary: if a set fits a bin, so does every subset; it must depend on
// bin and set alone. Cost(bin, v) is what placing v there costs, from -MaxWeight to
// MaxWeight and counted in multiples of 1e-6; +Inf means that v must not go there. Nil
// means 0. Both are asked only for valid bins and vertices.
//
// Method: where every two vertices are in conflict and nothing else matters, the best
// matching; else branch and bound, the vertex with the fewest open bins first. From below,
// vertices that conflict pairwise need different bins, so each such clique costs at
// least its best matching with the bins still open.
func Assign(n, bins int, conflicts *Graph, fits func(bin int, set Set) bool, cost func(bin, v int) float64, o AssignOptions) AssignResult {
	adj, err := conflictRows(n, conflicts)
	if err == nil && (bins < 0 || bins > MaxBins || o.Alike != nil && len(o.Alike) != bins) {
		err = ErrSize
	}
	if err != nil {
		return AssignResult{Err: err}
	}
	w, err := weightsInSteps(n, o.Weight)
	if err != nil {
		return AssignResult{Err: err}
	}
	a := newAssigner(adj, w, bins, fits, o)
	if err := a.setCosts(cost); err != nil {
		return AssignResult{Err: err}
	}
	if fits == nil && allApart(adj) {
		return a.result(a.matched())
	}
	return a.result(a.run())
}

// allApart tells whether every two vertices are in conflict.
func allApart(adj []Set) bool {
	for v := range adj {
		if adj[v].Len() != len(adj)-1 {
			return false
		}
	}
	return true
}

// matched solves the case in which each bin takes one vertex: the assignment problem
// (Kuhn 1955, Munkres 1957), in time cubic in the vertices.
func (a *assigner) matched() price {
	a.match.reset(len(a.open))
	total := a.match.least(a, firstN(len(a.adj)))
	for bin, row := range a.match.rowOf[:len(a.open)] {
		if row >= 0 {
			a.bin[a.match.rows[row]] = bin
		}
	}
	a.record(total)
	return total
}

// result words what the search found, with the price below which nothing is possible.
func (a *assigner) result(lower price) AssignResult {
	r := AssignResult{
		Bin:        a.bestBin,
		Unassigned: []int{},
		Lost:       fromSteps(a.best.lost),
		Cost:       fromSteps(a.best.cost),
		Optimal:    lower == a.best,
		LowerLost:  fromSteps(lower.lost),
		LowerBound: fromSteps(lower.cost),
		Nodes:      a.nodes,
	}
	for v, b := range r.Bin {
		if b < 0 {
			r.Unassigned = append(r.Unassigned, v)
		}
	}
	return r
}
