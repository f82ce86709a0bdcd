package graph

// cliquesPrice is a price that placing left cannot go below: it splits left into cliques of conflicts; within one, every vertex needs a
// bin of its own.
func (a *assigner) cliquesPrice(left Set) price {
	var sum price
	for !left.Empty() {
		clique := growClique(a.adj, left.Next(0), left)
		left = left.Without(clique)
		sum = sum.plus(a.cliquePrice(clique))
	}
	return sum
}

// cliquePrice is the least price of placing the clique. Where the members' cheapest
// open bins differ, that is simply their sum.
func (a *assigner) cliquePrice(clique Set) price {
	var sum price
	a.match.reset(len(a.open))
	clash := false
	for v := clique.Next(0); v >= 0; v = clique.Next(v + 1) {
		b := a.cheapest(v)
		if b < 0 {
			sum.lost += a.w[v]
			clique.drop(v)
			continue
		}
		sum.cost += a.cost[b][v]
		clash = clash || a.match.taken[b]
		a.match.taken[b] = true
	}
	if !clash {
		return sum
	}
	sum.cost = 0
	return sum.plus(a.match.least(a, clique))
}
