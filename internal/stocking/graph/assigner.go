package graph

import "slices"

// assigner searches for the best assignment.
type assigner struct {
	adj   []Set
	w     []int64
	memo  *memo
	alike []int // the kind of each bin
	cost  [][]int64
	order [][]int // for each vertex the bins it may use, cheapest first

	members []Set // what is in each bin so far
	open    []Set // the vertices, placed or not, that could join each bin
	bin     []int // the bin of each vertex so far, -1 for none
	match   matcher

	best    price
	bestBin []int
	meter
}

func newAssigner(adj []Set, w []int64, bins int, fits func(int, Set) bool, o AssignOptions) *assigner {
	n := len(adj)
	a := &assigner{
		adj: adj, w: w, memo: newMemo(fits), alike: o.Alike, meter: newMeter(o.NodeLimit, o.Budget, n, bins),
		cost: make([][]int64, bins), order: make([][]int, n),
		members: make([]Set, bins), open: make([]Set, bins), bin: make([]int, n),
		best: dearest, bestBin: make([]int, n),
	}
	if a.alike == nil {
		a.alike = make([]int, bins)
		for b := range a.alike {
			a.alike[b] = b
		}
	}
	for v := range a.bin {
		a.bin[v] = -1
	}
	return a
}

// setCosts reads the costs, opens the bins to the vertices that may go there, and
// sorts the bins of each vertex.
func (a *assigner) setCosts(cost func(bin, v int) float64) error {
	for b := range a.cost {
		a.cost[b] = make([]int64, len(a.adj))
		for v := range a.adj {
			allowed := true
			if cost != nil {
				var err error
				if a.cost[b][v], allowed, err = costInSteps(cost(b, v)); err != nil {
					return err
				}
			}
			if allowed && a.memo.fits(b, SetOf(v)) {
				a.open[b].put(v)
				a.order[v] = append(a.order[v], b)
			}
		}
	}
	for v, bins := range a.order {
		slices.SortStableFunc(bins, func(x, y int) int { return compare(a.cost[x][v], a.cost[y][v]) })
	}
	return nil
}

func compare(x, y int64) int {
	switch {
	case x < y:
		return -1
	case x > y:
		return 1
	}
	return 0
}

// run finds a first assignment, then the best one, and returns the price below which
// nothing is possible.
func (a *assigner) run() price {
	all := firstN(len(a.adj))
	open, members := slices.Clone(a.open), slices.Clone(a.members)
	paid := price{}
	for left := all; !left.Empty(); {
		v := a.hardest(left)
		left.drop(v)
		if b := a.cheapest(v); b >= 0 {
			a.join(b, v, left)
			paid.cost += a.cost[b][v]
		} else {
			paid.lost += a.w[v]
		}
	}
	a.record(paid)
	a.open, a.members = open, members
	for v := range a.bin {
		a.bin[v] = -1
	}
	return cheaper(a.search(all, price{}), a.best)
}

// record keeps the present assignment as the best.
func (a *assigner) record(paid price) {
	a.best = paid
	a.bestBin = append(a.bestBin[:0], a.bin...)
}

// cheapest is the cheapest bin open to v, or -1.
func (a *assigner) cheapest(v int) int {
	for _, b := range a.order[v] {
		if a.open[b].in(v) {
			return b
		}
	}
	return -1
}

// join puts v into bin b and closes the bin to those of left who cannot follow. It
// returns who could join before.
func (a *assigner) join(b, v int, left Set) Set {
	before := a.open[b]
	a.bin[v] = b
	a.members[b].put(v)
	could := before.Without(a.adj[v])
	ask := could.And(left)
	for u := ask.Next(0); u >= 0; u = ask.Next(u + 1) {
		with := a.members[b]
		with.put(u)
		if !a.memo.fits(b, with) {
			could.drop(u)
		}
	}
	a.open[b] = could
	return before
}

// hardest is the vertex of left with the fewest open bins, then the heaviest, then the
// smallest number.
func (a *assigner) hardest(left Set) int {
	best, fewest := -1, 0
	for v := left.Next(0); v >= 0; v = left.Next(v + 1) {
		bins := 0
		for _, b := range a.order[v] {
			if a.open[b].in(v) {
				bins++
			}
		}
		if best < 0 || bins < fewest || bins == fewest && a.w[v] > a.w[best] {
			best, fewest = v, bins
		}
	}
	return best
}

// search places left in all ways that could beat the best known, having paid so much,
// and returns a price that no way it looked at or passed over goes below.
func (a *assigner) search(left Set, paid price) price {
	lower := paid.plus(a.cliquesPrice(left))
	if !lower.less(a.best) {
		return lower
	}
	if left.Empty() {
		a.record(paid)
		return paid
	}
	if a.spent() {
		return lower
	}
	a.step()
	v := a.hardest(left)
	left.drop(v)
	least := dearest
	for i, b := range a.order[v] {
		if !a.open[b].in(v) || a.triedAlike(a.order[v][:i], b) {
			continue
		}
		before := a.join(b, v, left)
		least = cheaper(least, a.search(left, paid.plus(price{0, a.cost[b][v]})))
		a.open[b] = before
		a.members[b].drop(v)
		a.bin[v] = -1
	}
	least = cheaper(least, a.search(left, paid.plus(price{a.w[v], 0})))
	if least.less(lower) {
		return lower
	}
	return least
}

// triedAlike tells whether b is empty and like an empty bin among those tried.
func (a *assigner) triedAlike(tried []int, b int) bool {
	if !a.members[b].Empty() {
		return false
	}
	return slices.ContainsFunc(tried, func(t int) bool {
		return a.alike[t] == a.alike[b] && a.members[t].Empty()
	})
}
