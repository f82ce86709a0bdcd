package graph

// greedy is a good cover of the edges inside in: vertices that are heavy for their
// neighbourhood stay, then single exchanges improve it. It is the starting point of
// the search and the fallback at the node limit.
func (s *solver) greedy(in Set) Set {
	var kept Set
	for left := in; !left.Empty(); {
		v := s.keenest(left)
		kept.put(v)
		left.drop(v)
		left = left.Without(s.adj[v])
	}
	for s.exchange(in, &kept) {
	}
	return in.Without(kept)
}

// keenest is the vertex of left with the least weight of neighbours per own weight.
func (s *solver) keenest(left Set) int {
	best, ratio := -1, 0.0
	for v := left.Next(0); v >= 0; v = left.Next(v + 1) {
		r := float64(s.weight(s.adj[v].And(left))) / float64(s.w[v])
		if best < 0 || r < ratio {
			best, ratio = v, r
		}
	}
	return best
}

// exchange lets one vertex stay in place of its lighter kept neighbours, where there
// is such a vertex. Each exchange raises the weight that stays, so they end.
func (s *solver) exchange(in Set, kept *Set) bool {
	out := in.Without(*kept)
	for v := out.Next(0); v >= 0; v = out.Next(v + 1) {
		if near := s.adj[v].And(*kept); s.w[v] > s.weight(near) {
			*kept = kept.Without(near)
			kept.put(v)
			return true
		}
	}
	return false
}
