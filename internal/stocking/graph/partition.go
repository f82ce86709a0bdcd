package graph

import "commensal/internal/budget"

// PartitionOptions says how much a group holds and bounds the work of Partition.
type PartitionOptions struct {
	// Load is what each vertex takes of a group's Room; no group takes more than its
	// Room. Loads are from 0 to MaxWeight. Both are counted in multiples of 1e-6, loads
	// rounded, Room (which may be +Inf) likewise. Nil means that there is no such limit.
	// A limit stated here gives far better bounds than the same limit inside fits.
	Load []float64
	Room float64
	// NodeLimit bounds the search; 0 or less means DefaultNodeLimit. The bounds found
	// before the search have limits of their own, a small share of it.
	NodeLimit int64
	// Budget ends the search too; nil never does.
	Budget *budget.Budget
}

// PartitionResult is the answer of Partition.
type PartitionResult struct {
	// Groups hold every vertex that fits at all, each once. Groups and their members
	// ascend: the groups by their smallest member.
	Groups [][]int
	// Unplaceable are the vertices that do not fit even alone, ascending.
	Unplaceable []int
	LowerBound  int   // no partition of the placeable vertices has fewer groups
	Optimal     bool  // the number of groups is proved to be the least
	Nodes       int64 // search nodes used
	Err         error // ErrSize, ErrLoad or the graph's own Err; nil otherwise
}

// Partition splits the vertices 0 to n-1 over the fewest groups so that no edge of
// conflicts lies inside a group, and the room of every group suffices and fits holds. Nil conflicts means no
// edges; nil fits means that everything fits, which makes this graph colouring.
//
// Fits must be hereditary: every subset of a set that fits must fit. It must depend on
// the set alone. Where it is not hereditary, every group still fits, but fewer groups
// might be possible.
//
// Method: clique, room and sharing bounds from below, then branch and bound that places
// the vertex with the fewest open groups first (after Brélaz, Communications of the
// ACM 22, 1979, from memory).
func Partition(n int, conflicts *Graph, fits func(set Set) bool, o PartitionOptions) PartitionResult {
	adj, err := conflictRows(n, conflicts)
	if err != nil {
		return PartitionResult{Err: err}
	}
	load, err := loadsInSteps(n, o.Load)
	if err != nil {
		return PartitionResult{Err: err}
	}
	room, err := roomInSteps(o.Load == nil, o.Room)
	if err != nil {
		return PartitionResult{Err: err}
	}
	p := newGrouper(adj, fits, load, room, newMeter(o.NodeLimit, o.Budget, n, 1))
	unplaceable := firstN(n).Without(p.all)
	r := PartitionResult{Unplaceable: unplaceable.Members()}
	p.run()
	r.Groups = p.groups()
	r.LowerBound = p.lower
	r.Optimal = p.lower == len(p.best)
	r.Nodes = p.nodes
	return r
}

// conflictRows is a copy of the graph's adjacency, or no edges for nil.
func conflictRows(n int, g *Graph) ([]Set, error) {
	switch {
	case n < 0 || n > MaxVertices:
		return nil, ErrSize
	case g == nil:
		return make([]Set, n), nil
	case g.err != nil:
		return nil, g.err
	case g.N() != n:
		return nil, ErrSize
	}
	return append([]Set(nil), g.adj...), nil
}
