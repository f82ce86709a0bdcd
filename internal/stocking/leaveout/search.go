// Package leaveout searches for the least costly lines of a list to leave out. It knows no fish:
// conflicts between two lines are edges of a graph, what only the list as a whole brings about is a
// question asked of each set ([Problem.Broken]), and a load that is too heavy is a sum of parts
// ([Burden]). Package stocking says what the lines and conflicts are, and judges what is found.
package leaveout

import (
	"math"

	"commensal/internal/budget"
	"commensal/internal/stocking/graph"
)

// MaxSets is the greatest number of equally good sets that are found.
const MaxSets = 5

// Problem is a list of lines, numbered from 0, of which some have to go.
type Problem struct {
	Hard   *graph.Graph // conflicts between two lines that stand whatever else is there
	Weight []float64    // cost of leaving each line out
	// Forced are lines that have to go, Pinned lines that must stay.
	Forced, Pinned graph.Set
	// Broken names lines that cannot all stay when only out is left out; nil when the rest fits.
	// Leaving out more must never break what fitted.
	Broken func(out graph.Set) []int
	// Bound, where set, is a cost that no set can stay under that leaves out at least out and keeps stays.
	Bound  func(out, stays graph.Set) float64
	Budget *budget.Budget
}

// Result is what was found.
type Result struct {
	Sets     [][]int // each ascending; none where nothing clears the conflicts
	Cost     float64 // of each set
	Bound    float64 // no set can cost less
	Optimal  bool    // Cost is proved to be the least; without sets, that there is none
	Complete bool    // Sets lists every best set
	Nodes    int64   // search nodes used
}

// Cover clears the hard conflicts alone: a least weighted vertex cover.
func (p *Problem) Cover() Result {
	r := p.cover(p.Forced, p.Pinned, graph.DefaultNodeLimit)
	return Result{Sets: r.Sets, Cost: r.Cost, Bound: r.LowerBound, Optimal: r.Optimal && r.Err == nil, Complete: r.Complete, Nodes: r.Nodes}
}

func (p *Problem) cover(forced, pinned graph.Set, nodes int64) graph.CoverResult {
	return graph.Cover(p.Hard, graph.CoverOptions{
		Weight: p.Weight, Pinned: pinned, Forced: forced, MaxSolutions: MaxSets, NodeLimit: nodes, Budget: p.Budget,
	})
}

// The bounds of the search: nodes, and search nodes of the covers that they solve together.
const (
	maxSearchNodes = 1000
	maxCoverNodes  = 100_000
)

// Search clears what is broken as well, by branch and bound. Leaving more out never
// brings a conflict back, so of the lines that make up a broken one at least
// one has to go: each in turn is forced out with those before it pinned, which divides
// the possibilities without overlap. The cover of the hard conflicts alone is the bound.
func (p *Problem) Search() Result {
	s := &searcher{Problem: p, best: math.Inf(1)}
	s.node(p.Forced, p.Pinned)
	r := Result{Nodes: s.used, Bound: s.root, Optimal: !s.cut}
	if math.IsInf(s.best, 0) {
		return r
	}
	r.Sets, r.Cost, r.Complete = s.sets, s.best, !s.cut && !s.partial
	if r.Optimal {
		r.Bound = s.best
	}
	return r
}

type searcher struct {
	*Problem
	best    float64
	root    float64 // bound of the root
	sets    [][]int
	nodes   int
	used    int64
	cut     bool // the node limit or a solver's limit ended a branch
	partial bool // sets as good as the listed ones may have been passed over
}

// node solves one subproblem.
func (s *searcher) node(forced, pinned graph.Set) {
	if s.nodes++; s.nodes > maxSearchNodes || s.used >= maxCoverNodes || s.Budget.Ended() {
		s.cut = true
		return
	}
	r := s.cover(forced, pinned, maxCoverNodes-s.used)
	s.used += r.Nodes + 1
	if r.Err != nil || r.Infeasible != nil {
		return
	}
	bound := r.LowerBound
	if s.Bound != nil {
		bound = max(bound, s.Bound(forced, pinned))
	}
	if s.nodes == 1 {
		s.root = bound
	}
	s.cut, s.partial = s.cut || !r.Optimal, s.partial || !r.Complete
	if bound > s.best || (bound == s.best && len(s.sets) >= MaxSets) {
		return
	}
	var broken []int
	fits := false
	for _, set := range r.Sets {
		lines := s.Broken(graph.SetOf(set...))
		if lines == nil {
			s.record(set, r.Cost)
			fits = true
		} else if broken == nil {
			broken = lines
		}
	}
	if !fits {
		s.branch(broken, forced, pinned)
	}
}

func (s *searcher) record(set []int, cost float64) {
	if cost < s.best {
		s.best, s.sets = cost, nil
	}
	if cost == s.best && len(s.sets) < MaxSets {
		s.sets = append(s.sets, set)
	}
}

// branch tries leaving out each line of a broken conflict that may go.
func (s *searcher) branch(broken []int, forced, pinned graph.Set) {
	s.partial = true
	for _, line := range broken {
		if pinned.Has(line) {
			continue
		}
		out := forced
		out.Add(line)
		s.node(out, pinned)
		pinned.Add(line)
	}
}
