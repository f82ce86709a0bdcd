package stocking

import (
	"container/heap"
	"math"
	"slices"

	"commensal/internal/stocking/graph"
)

// maxTrialWork bounds the trials of sets where a species has several lines, in pairings of all
// lists that are judged.
const maxTrialWork = 40_000

// prove makes the claims true where a species has several lines. Leaving one of them out
// changes what the others defend and how they behave, which conflicts between two lines do
// not tell: so the sets are tried one by one, the cheapest first, each by the check of what
// stays. Where that takes too long, nothing is claimed but what was tried.
func (c *leaveOutSolver) prove() {
	if !c.severalLines() || len(c.out.Sets) == 0 && len(c.out.Pinned) == 0 {
		return
	}
	c.out.Optimal, c.out.Complete = false, false
	if len(c.out.Pinned) > 0 {
		c.out.Bound = 0 // no check of what stays tells pinned conflicts from others
		return
	}
	found, ended, bound := c.tryInOrder()
	c.out.Bound = bound
	if found == nil {
		return
	}
	c.out.Cost, c.out.Bound, c.out.Optimal = bound, bound, true
	c.out.Complete = ended && len(found) <= MaxLeaveOuts
	slices.SortFunc(found, slices.Compare)
	c.out.Sets = nil
	c.take(found[:min(len(found), MaxLeaveOuts)])
}

// severalLines reports a species of which more than one line is on the list.
func (c *leaveOutSolver) severalLines() bool {
	return slices.ContainsFunc(c.Lines, func(r Resident) bool { return r.Company != r.Fish })
}

// tryInOrder finds the cheapest sets that clear the list, none where the trials run out
// before; ended tells that there are no others of that cost. No set costs less than bound.
func (c *leaveOutSolver) tryInOrder() (found [][]int, ended bool, bound float64) {
	sets := c.inOrderOfCost()
	best := int64(math.MaxInt64)
	for work := 0; work < maxTrialWork && !c.Budget.Ended(); work += len(c.Lines) * len(c.Lines) {
		set, cost, ok := sets.next()
		if !ok || cost > best {
			return found, true, costOf(min(cost, best))
		}
		bound = costOf(cost)
		if c.clears(set) {
			found, best = append(found, set), cost
		}
	}
	return found, false, bound
}

// inOrderOfCost are the sets of lines that may be left out, the cheapest first. Lines with a
// stop of their own are in all of them.
func (c *leaveOutSolver) inOrderOfCost() *setsByCost {
	s := &setsByCost{}
	for i := range c.Lines {
		switch {
		case c.pinned.Has(i):
		case c.stopped.Has(i):
			s.always, s.base = append(s.always, i), s.base+stepsOf(c.weight[i])
		default:
			s.lines, s.cost = append(s.lines, i), append(s.cost, stepsOf(c.weight[i]))
		}
	}
	order := make([]int, len(s.lines))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(min(max(s.cost[a]-s.cost[b], -1), 1)) })
	lines, cost := slices.Clone(s.lines), slices.Clone(s.cost)
	for k, from := range order {
		s.lines[k], s.cost[k] = lines[from], cost[from]
	}
	s.queue = []someLines{{cost: s.base, last: -1}}
	return s
}

// Costs are compared in steps of a millionth, as package graph does, so that ties are exact.
const stepsPerCost = 1e6

func stepsOf(weight float64) int64 { return int64(math.Round(weight * stepsPerCost)) }
func costOf(steps int64) float64   { return float64(steps) / stepsPerCost }

// setsByCost gives sets of lines in order of cost, each once: after a set come the one with
// the next line added and the one with the next line in place of its last.
type setsByCost struct {
	lines  []int // the cheapest first
	cost   []int64
	always []int // lines that are in every set, which cost base
	base   int64
	queue  someLinesHeap
}

// someLines is a set by places in setsByCost.lines, ascending.
type someLines struct {
	places []int
	last   int // -1 for none
	cost   int64
}

// next is the next set of lines, ascending, with its cost; ok is false after the last.
func (s *setsByCost) next() (set []int, cost int64, ok bool) {
	if len(s.queue) == 0 {
		return nil, math.MaxInt64, false
	}
	top := heap.Pop(&s.queue).(someLines)
	if at := top.last + 1; at < len(s.lines) {
		heap.Push(&s.queue, someLines{append(slices.Clone(top.places), at), at, top.cost + s.cost[at]})
		if top.last >= 0 {
			instead := append(slices.Clone(top.places[:len(top.places)-1]), at)
			heap.Push(&s.queue, someLines{instead, at, top.cost + s.cost[at] - s.cost[top.last]})
		}
	}
	set = slices.Clone(s.always)
	for _, k := range top.places {
		set = append(set, s.lines[k])
	}
	slices.Sort(set)
	return set, top.cost, true
}

// someLinesHeap orders sets by cost, equals by their places.
type someLinesHeap []someLines

func (h someLinesHeap) Len() int { return len(h) }
func (h someLinesHeap) Less(i, j int) bool {
	if h[i].cost != h[j].cost {
		return h[i].cost < h[j].cost
	}
	return slices.Compare(h[i].places, h[j].places) < 0
}
func (h someLinesHeap) Swap(i, j int) { h[i], h[j] = h[j], h[i] }

// Push and Pop are those of [heap.Interface].
func (h *someLinesHeap) Push(x any) { *h = append(*h, x.(someLines)) }
func (h *someLinesHeap) Pop() any {
	last := (*h)[len(*h)-1]
	*h = (*h)[:len(*h)-1]
	return last
}

// clears judges what stays without some lines and reports whether that tank is no hold.
func (c *leaveOutSolver) clears(out []int) bool {
	gone := graph.SetOf(out...)
	s := Stock{Tank: c.Tank, Wanted: c.Wanted, Budget: c.Budget}
	for i := range c.Lines {
		if !gone.Has(i) {
			s.Lines = append(s.Lines, c.Lines[i].Line)
		}
	}
	if len(s.Lines) == 0 {
		return true
	}
	j := NewAssessmentFrom(c.Book, &s, c.Assessment)
	j.ScoreWhile(func(p *Pair) bool { return !j.Above(p.Level) })
	if slices.ContainsFunc(j.Pairs, func(p Pair) bool { return j.Above(p.Level) }) {
		return false
	}
	j.Finish()
	return j.TankDecision < Hold
}
