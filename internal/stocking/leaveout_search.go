package stocking

import (
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking/graph"
)

// The bounds of the search over soft conflicts: nodes, and search nodes of the covers
// that they solve together.
const (
	maxSearchNodes = 1000
	maxCoverNodes  = 100_000
)

// search answers a list with soft conflicts, by branch and bound. Leaving more out never
// brings a soft conflict back, so of the lines that make up a broken one at least
// one has to go: each in turn is forced out with those before it pinned, which divides
// the possibilities without overlap. The cover of the hard conflicts alone is the bound.
func (c *leaveOutSolver) search() {
	s := &searcher{leaveOutSolver: c, best: math.Inf(1)}
	s.node(c.forced, c.pinned)
	c.out.Nodes = s.used
	c.out.Bound = s.root
	if math.IsInf(s.best, 0) {
		c.blockedByPins(s)
		return
	}
	c.out.Cost, c.out.Optimal = s.best, !s.cut
	c.out.Complete = !s.cut && !s.partial
	if c.out.Optimal {
		c.out.Bound = s.best
	}
	c.take(s.sets)
}

type searcher struct {
	*leaveOutSolver
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
	r := s.coverOf(forced, pinned, maxCoverNodes-s.used)
	s.used += r.Nodes + 1
	if r.Err != nil || r.Infeasible != nil {
		return
	}
	bound := r.LowerBound
	if s.heavy {
		bound = max(bound, s.burden.bound(s.leaveOutSolver, forced, pinned))
	}
	if s.nodes == 1 {
		s.root = bound
	}
	s.cut, s.partial = s.cut || !r.Optimal, s.partial || !r.Complete
	if bound > s.best || (bound == s.best && len(s.sets) >= MaxLeaveOuts) {
		return
	}
	var broken []int
	fits := false
	for _, set := range r.Sets {
		lines := s.broken(graph.SetOf(set...))
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
	if cost == s.best && len(s.sets) < MaxLeaveOuts {
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

// broken is a set of lines that cannot all stay when only out is left out; nil when the
// rest fits. Lines that must stay anyway never break on their own account: that is
// reported as pinned.
func (c *leaveOutSolver) broken(out graph.Set) []int {
	ground := 0.0
	for i := range c.Lines {
		if !out.Has(i) {
			ground += c.Lines[i].Ground
		}
	}
	for _, p := range c.soft {
		if out.Has(p.First) || out.Has(p.Second) {
			continue
		}
		others := ground - c.Lines[p.First].Ground
		if p.First != p.Second {
			others -= c.Lines[p.Second].Ground
		}
		if c.Above(c.levelWith(p, others)) || c.soonWithout(p, out) {
			return c.crowders(p, out)
		}
	}
	if c.heavy && c.burden.heavy(c, out) {
		return c.heaviest(out)
	}
	return nil
}

// crowders are a broken pairing's own lines, then the others by the ground they take.
func (c *leaveOutSolver) crowders(p Pair, out graph.Set) []int {
	lines := c.staying(out, p.First, p.Second)
	slices.SortStableFunc(lines, func(a, b int) int { return compareDescending(c.Lines[a].Ground, c.Lines[b].Ground) })
	if p.First != p.Second {
		lines = append([]int{p.Second}, lines...)
	}
	return append([]int{p.First}, lines...)
}

// heaviest are the staying lines by their mass.
func (c *leaveOutSolver) heaviest(out graph.Set) []int {
	lines := c.staying(out, -1, -1)
	mass := func(i int) float64 { return c.Lines[i].Mass.Typical * float64(c.Lines[i].Fish) }
	slices.SortStableFunc(lines, func(a, b int) int { return compareDescending(mass(a), mass(b)) })
	return lines
}

func (c *leaveOutSolver) staying(out graph.Set, except, and int) (lines []int) {
	for i := range c.Lines {
		if !out.Has(i) && i != except && i != and {
			lines = append(lines, i)
		}
	}
	return lines
}

func compareDescending(a, b float64) int {
	switch {
	case a > b:
		return -1
	case a < b:
		return 1
	}
	return 0
}

// blockedByPins names what keeps any set from clearing the soft conflicts.
func (c *leaveOutSolver) blockedByPins(s *searcher) {
	c.out.Optimal = !s.cut
	var out graph.Set
	for i := range c.Lines {
		if !c.pinned.Has(i) {
			out.Add(i)
		}
	}
	for _, p := range c.soft {
		if !out.Has(p.First) && !out.Has(p.Second) {
			c.out.Pinned = append(c.out.Pinned, PinnedConflict{p.First, p.Second, c.pairReason(p)})
		}
	}
	if c.heavy && c.burden.heavy(c, out) {
		first := c.staying(out, -1, -1)[0]
		c.out.Pinned = append(c.out.Pinned, PinnedConflict{first, first, c.stopReason(LoadTooHeavy)})
	}
}

// soonAlone reports whether a pairing comes above the wanted level soon even without any
// other line beside it.
func (c *leaveOutSolver) soonAlone(p Pair) bool {
	var out graph.Set
	for i := range c.Lines {
		if i != p.First && i != p.Second {
			out.Add(i)
		}
	}
	return c.soonWithout(p, out)
}

// soonWithout reports whether a pairing comes above the wanted level soon when some lines
// are left out.
func (c *leaveOutSolver) soonWithout(p Pair, out graph.Set) bool {
	return c.future != nil && c.future.without(out).soon(&p)
}

// aheadReason is the finding about a pairing that is soon in conflict.
func (c *leaveOutSolver) aheadReason(p Pair) (s conflict.Statement, ok bool) {
	for i := range c.Findings {
		f := &c.Findings[i]
		if IsAhead(f.Code()) && f.Lines[0] == p.First && f.Lines[len(f.Lines)-1] == p.Second {
			return f.Statement, true
		}
	}
	return s, false
}
