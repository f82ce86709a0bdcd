package graph

import "math"

// price is what an assignment costs, first things first: the weight that finds no
// place, then the cost of the places, both in steps.
type price struct{ lost, cost int64 }

var dearest = price{math.MaxInt64, math.MaxInt64}

func (p price) less(q price) bool {
	return p.lost < q.lost || p.lost == q.lost && p.cost < q.cost
}

func (p price) plus(q price) price  { return price{p.lost + q.lost, p.cost + q.cost} }
func (p price) minus(q price) price { return price{p.lost - q.lost, p.cost - q.cost} }

func cheaper(p, q price) price {
	if q.less(p) {
		return q
	}
	return p
}

// costInSteps rounds a cost to whole steps; false means that the place is ruled out.
func costInSteps(c float64) (steps64 int64, allowed bool, err error) {
	switch {
	case math.IsInf(c, 1):
		return 0, false, nil
	case !(math.Abs(c) <= MaxWeight):
		return 0, false, ErrCost
	}
	return int64(math.Round(c * steps)), true, nil
}
