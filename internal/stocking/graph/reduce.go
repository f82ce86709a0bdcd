package graph

// fold remembers a vertex whose neighbours formed a clique and were all heavier: its
// weight was taken off theirs, and it is left out exactly when one of them stays.
type fold struct {
	vertex int
	near   Set
}

// sightBelow is the greatest number of neighbours for which all rules are tried below
// the root. On random graphs of 60 vertices more saves hardly a node, and in dense ones
// it doubles the time; the root looks at all vertices, for the sake of lists with many
// alike.
const sightBelow = 4

// reduce simplifies the problem without losing the optimum (though perhaps some of
// several optima). It returns the vertices still to decide, those left out, and the
// price paid so far; weights may have been lowered and folds recorded.
func (s *solver) reduce(in Set) (rest, taken Set, paid int64) {
	rest = in
	sight := s.sight
	s.sight = sightBelow
	for {
		before := rest
		for v := rest.Next(0); v >= 0; v = rest.Next(v + 1) {
			out, price := s.reduceAt(v, sight, &rest)
			taken, paid = taken.Or(out), paid+price
		}
		if rest != before {
			continue
		}
		if out, price, ok := s.halfIntegral(&rest); ok {
			taken, paid = taken.Or(out), paid+price
			continue
		}
		return rest, taken, paid
	}
}

// reduceAt tries the rules at v and shrinks rest; it returns what is left out for
// good and the price. The rules, for N the neighbours of v in rest:
//
//   - v at least as heavy as all of N together: v stays, N is left out (this covers
//     vertices without neighbours, and most of those with one);
//   - u in N sees all of N and is no heavier than v: u is left out;
//   - N is a clique of vertices heavier than v: v's weight is taken off each of N.
//
// The last two are tried for up to sight neighbours.
func (s *solver) reduceAt(v, sight int, rest *Set) (out Set, price int64) {
	near := s.adj[v].And(*rest)
	if total := s.weightUpTo(near, s.w[v]); s.w[v] >= total {
		rest.drop(v)
		*rest = rest.Without(near)
		return near, total
	}
	if near.Len() > sight {
		return out, 0
	}
	clique := true
	for u := near.Next(0); u >= 0; u = near.Next(u + 1) {
		others := near
		others.drop(u)
		if !others.Within(s.adj[u]) {
			clique = false
			continue
		}
		if s.w[u] <= s.w[v] {
			out.put(u)
			price += s.w[u]
			rest.drop(u)
			near.drop(u)
		}
	}
	if clique && !near.Empty() {
		price += s.foldIn(v, near)
		rest.drop(v)
	}
	return out, price
}

// weightUpTo is the total weight of the set, or something above most as soon as it is
// more than that.
func (s *solver) weightUpTo(of Set, most int64) int64 {
	var sum int64
	for v := of.Next(0); v >= 0 && sum <= most; v = of.Next(v + 1) {
		sum += s.w[v]
	}
	return sum
}

// foldIn takes v's weight off its neighbours, a clique. At most one of v and the
// clique can stay, so v's weight is paid for all of the clique but that one.
func (s *solver) foldIn(v int, near Set) int64 {
	s.folds = append(s.folds, fold{v, near})
	for u := near.Next(0); u >= 0; u = near.Next(u + 1) {
		s.undo = append(s.undo, change{u, s.w[u]})
		s.w[u] -= s.w[v]
	}
	return int64(near.Len()) * s.w[v]
}

// unfold decides the vertices folded since the mark, last first, for the given cover
// of the reduced graph.
func (s *solver) unfold(cover Set, mark int) Set {
	for i := len(s.folds) - 1; i >= mark; i-- {
		if f := s.folds[i]; !f.near.Within(cover) {
			cover.put(f.vertex)
		}
	}
	s.folds = s.folds[:mark]
	return cover
}

// restore puts back the weights changed since the mark, last first.
func (s *solver) restore(mark int) {
	for i := len(s.undo) - 1; i >= mark; i-- {
		s.w[s.undo[i].vertex] = s.undo[i].weight
	}
	s.undo = s.undo[:mark]
}
