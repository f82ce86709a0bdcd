package graph

// cliqueBound is a lower bound on the cost of covering the edges inside rest. Of a
// clique at most one vertex stays. Cliques are laid over the vertices, each with a
// weight, until the cliques at every vertex add up to its weight: what stays weighs no
// more than the cliques together, and all the rest is left out. (A solution of the
// dual of the clique relaxation, found greedily; from memory.)
func (s *solver) cliqueBound(rest Set) int64 {
	var total, kept int64
	for v := rest.Next(0); v >= 0; v = rest.Next(v + 1) {
		s.spare[v] = s.w[v]
		total += s.w[v]
	}
	for left := rest; !left.Empty(); {
		v := s.lightest(left)
		clique := growClique(s.adj, v, left)
		share := s.spare[v]
		kept += share
		for u := clique.Next(0); u >= 0; u = clique.Next(u + 1) {
			s.spare[u] -= share
			if s.spare[u] == 0 {
				left.drop(u)
			}
		}
	}
	return total - kept
}

// lightest is the vertex of left with the least uncovered weight, then the fewest
// neighbours in left (it is the hardest to find a clique for later), then the smallest
// number.
func (s *solver) lightest(left Set) int {
	best, fewest := -1, 0
	for v := left.Next(0); v >= 0; v = left.Next(v + 1) {
		if best >= 0 && s.spare[v] > s.spare[best] {
			continue
		}
		d := s.adj[v].And(left).Len()
		if best < 0 || s.spare[v] < s.spare[best] || d < fewest {
			best, fewest = v, d
		}
	}
	return best
}

// growClique is a clique of left that contains v and cannot be enlarged.
func growClique(adj []Set, v int, left Set) Set {
	var clique Set
	clique.put(v)
	open := adj[v].And(left)
	for u := open.Next(0); u >= 0; u = open.Next(u + 1) {
		clique.put(u)
		open = open.And(adj[u])
	}
	return clique
}
