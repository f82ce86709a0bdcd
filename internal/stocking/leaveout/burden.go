package leaveout

import (
	"cmp"
	"math"
	"slices"

	"commensal/internal/stocking/graph"
)

// Burden is what each line adds to a load that is too heavy, so that parts of the list can be
// weighed without computing the whole load again. [Burden.Prepare] comes first.
type Burden struct {
	Part   []float64 // what each line adds, at the warmth of the whole list
	Room   float64   // what can be borne
	Weight []float64 // cost of leaving each line out
	// Warmth is the part's factor at the temperature that a line would set if it were the
	// warmest, nil where that is the same whoever stays. Ranged says which lines set one.
	Warmth []float64
	Ranged []bool

	coldest float64 // the least factor that a remaining list can have
	order   []int   // lines by cost for what they add, cheapest first
	whole   bool    // all weights are whole numbers, and so is any cost
}

// Prepare works out what the questions need.
func (b *Burden) Prepare() {
	b.coldest, b.whole, b.order = 1, true, make([]int, len(b.Part))
	for i := range b.Part {
		b.order[i] = i
		b.whole = b.whole && b.Weight[i] == math.Trunc(b.Weight[i])
	}
	for _, w := range b.Warmth {
		b.coldest = min(b.coldest, w)
	}
	slices.SortStableFunc(b.order, func(x, y int) int {
		return cmp.Compare(b.Part[y]*b.Weight[x], b.Part[x]*b.Weight[y])
	})
}

// slack keeps rounding from calling a load that is exactly held too heavy or the other
// way round: within it, a load counts as too heavy.
const slack = 1e-9

// Heavy reports whether the lines that are not out still are too heavy.
func (b *Burden) Heavy(out graph.Set) bool {
	rise, warmest := 0.0, 0.0
	for i := range b.Part {
		if out.Has(i) {
			continue
		}
		rise += b.Part[i]
		if b.Warmth != nil && b.Ranged[i] {
			warmest = max(warmest, b.Warmth[i])
		}
	}
	switch {
	case b.Warmth == nil:
		warmest = 1
	case warmest == 0: // none of the rest has a range: the ordinary temperature
		warmest = b.ordinary(out)
	}
	return rise*warmest > b.Room*(1-slack)
}

// ordinary is the factor at the ordinary temperature, which lines without a range have.
func (b *Burden) ordinary(out graph.Set) float64 {
	for i, w := range b.Warmth {
		if !out.Has(i) {
			return w
		}
	}
	return b.coldest
}

// Bound is a cost that leaving out cannot stay under, given the lines that are out and
// those that must stay: the cheapest lines for each mg/L go first, the last in part.
// Whole weights make it whole.
func (b *Burden) Bound(out, stays graph.Set) float64 {
	cost, rise := 0.0, 0.0
	for i, p := range b.Part {
		if out.Has(i) {
			cost += b.Weight[i]
		} else {
			rise += p
		}
	}
	over := rise - b.Room/b.coldest
	for _, i := range b.order {
		if over <= slack*rise || out.Has(i) || stays.Has(i) {
			continue
		}
		share := min(1, over/b.Part[i])
		cost += share * b.Weight[i]
		over -= b.Part[i]
	}
	if b.whole {
		cost = math.Ceil(cost - 1e-6)
	}
	return cost
}
