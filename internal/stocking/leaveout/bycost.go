package leaveout

import (
	"cmp"
	"container/heap"
	"math"
	"slices"
)

// SetsByCost gives sets of lines in order of cost, each once: after a set come the one with
// the next line added and the one with the next line in place of its last.
type SetsByCost struct {
	lines  []int // the cheapest first
	cost   []int64
	always []int // lines that are in every set, which cost base
	base   int64
	queue  someLinesHeap
}

// InOrderOfCost are the sets of some lines, each of at least always, the cheapest first. The weight of
// a line is its cost.
func InOrderOfCost(weight []float64, lines, always []int) *SetsByCost {
	s := &SetsByCost{lines: slices.Clone(lines), always: always}
	for _, i := range always {
		s.base += Steps(weight[i])
	}
	slices.SortStableFunc(s.lines, func(a, b int) int { return cmp.Compare(Steps(weight[a]), Steps(weight[b])) })
	for _, i := range s.lines {
		s.cost = append(s.cost, Steps(weight[i]))
	}
	s.queue = []someLines{{cost: s.base, last: -1}}
	return s
}

// Costs are compared in steps of a millionth, as package graph does, so that ties are exact.
const stepsPerCost = 1e6

// Steps is a weight in steps.
func Steps(weight float64) int64 { return int64(math.Round(weight * stepsPerCost)) }

// Cost is a cost in steps as a sum of weights.
func Cost(steps int64) float64 { return float64(steps) / stepsPerCost }

// someLines is a set by places in SetsByCost.lines, ascending.
type someLines struct {
	places []int
	last   int // -1 for none
	cost   int64
}

// Next is the next set of lines, ascending, with its cost; ok is false after the last.
func (s *SetsByCost) Next() (set []int, cost int64, ok bool) {
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
