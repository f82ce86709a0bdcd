package additions

import (
	"cmp"
	"math"
	"slices"

	"commensal/internal/stocking"
)

// rank is the place of an addition among the others; a smaller rank is better. Scores
// are compared in steps first: differences below a step are finer than the model or a
// keeper can tell, so that water and room decide between them. Common practice, no
// source.
type rank struct {
	grave   stocking.Decision // what its reasons lead to; Proceed for one that fits
	reasons int
	list    bool // a reason lies in the list as a whole, not in the species
	// likeness to a species to be replaced, 0 without one
	likeness   float64
	worst, sum float64 // of the scores of its pairings
	water      float64
	zone       float64
	usual      uint8 // in the trade, 0 for every shop
	index      int
}

// The steps in which ranks are compared first.
const (
	worstStep    = 12.5 // half a level: keepers' levels scatter more than that (see conflict's bands)
	sumStep      = 25.0
	fitStep      = 0.25
	likenessStep = 0.05
)

// compare orders ranks, the better one first. No two species have the same rank.
func (r *rank) compare(o *rank) int {
	if c := cmp.Compare(r.grave, o.grave); c != 0 {
		return c
	}
	if c := cmp.Compare(r.reasons, o.reasons); c != 0 {
		return c
	}
	if c := falseFirst(r.list, o.list); c != 0 {
		return c
	}
	if c := cmp.Or(
		stepped(o.likeness, r.likeness, likenessStep),
		stepped(r.worst, o.worst, worstStep),
		stepped(o.water, r.water, fitStep),
		cmp.Compare(r.usual, o.usual),
		stepped(r.sum, o.sum, sumStep),
		stepped(o.zone, r.zone, fitStep)); c != 0 {
		return c
	}
	return cmp.Or(cmp.Compare(o.likeness, r.likeness), cmp.Compare(r.worst, o.worst),
		cmp.Compare(r.sum, o.sum), cmp.Compare(r.index, o.index))
}

// stepped compares two values in whole steps.
func stepped(a, b, step float64) int {
	return cmp.Compare(math.Floor(a/step), math.Floor(b/step))
}

// placed is an addition that made it into a list of the best.
type placed struct {
	rank   rank
	count  int
	values []float64 // scores with each line, its own kind last
}

// best keeps the best few of many: a heap with the worst of them on top.
type best struct {
	most int
	heap []placed
	// Where enough of those that fit have a lower worst pairing, in steps, nobody asks for the rest; 0 where that does
	// not count. steps are how many were kept of each.
	enough int
	steps  [100/worstStep + 1]int
}

// takes reports whether something of that rank would be kept.
func (b *best) takes(r *rank) bool {
	return (len(b.heap) < b.most || (b.most > 0 && r.compare(&b.heap[0].rank) < 0)) && !b.plenty(r.worst)
}

// plenty reports that enough have a lower worst pairing.
func (b *best) plenty(worst float64) bool {
	if b.enough == 0 {
		return false
	}
	lower := 0
	for _, n := range b.steps[:int(worst/worstStep)] {
		lower += n
	}
	return lower >= b.enough
}

// add keeps an entry, and drops the worst where there are too many.
func (b *best) add(e placed) {
	b.steps[int(e.rank.worst/worstStep)]++
	if len(b.heap) < b.most {
		b.heap = append(b.heap, e)
		for i := len(b.heap) - 1; i > 0; {
			up := (i - 1) / 2
			if b.heap[up].rank.compare(&b.heap[i].rank) >= 0 {
				return
			}
			b.heap[up], b.heap[i] = b.heap[i], b.heap[up]
			i = up
		}
		return
	}
	b.heap[0] = e
	b.sink()
}

func (b *best) sink() {
	for i := 0; ; {
		down := 2*i + 1
		if down >= len(b.heap) {
			return
		}
		if r := down + 1; r < len(b.heap) && b.heap[r].rank.compare(&b.heap[down].rank) > 0 {
			down = r
		}
		if b.heap[i].rank.compare(&b.heap[down].rank) >= 0 {
			return
		}
		b.heap[i], b.heap[down] = b.heap[down], b.heap[i]
		i = down
	}
}

// sorted is all that was kept, the best first.
func (b *best) sorted() []placed {
	slices.SortFunc(b.heap, func(x, y placed) int { return x.rank.compare(&y.rank) })
	return b.heap
}

// falseFirst orders false before true.
func falseFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}
