package graph

// lister lists the covers of least cost in lexicographic order.
type lister struct {
	s     *solver
	fixed Set
	most  int
	sets  [][]int
	cut   bool // the node limit left it open whether a branch holds a best cover
}

// list adds all best covers of the edges inside in, each together with chosen; best is
// one of them. It reports whether all were listed. No best cover contains another, as
// weights are above 0, so "contains the smallest undecided vertex" comes first.
func (l *lister) list(in, chosen, best Set) bool {
	v, near := l.s.firstJoined(&in)
	if v < 0 {
		if len(l.sets) == l.most {
			return false
		}
		l.sets = append(l.sets, l.fixed.Or(chosen).Members())
		return true
	}
	part := component(l.s.adj, in, v)
	in.drop(v)
	leave, stay := best, best
	canLeave, canStay := best.in(v), !best.in(v)
	if !canLeave {
		leave, canLeave = l.other(part, best, SetOf(v), Set{})
	}
	if l.cut {
		return false
	}
	if canLeave {
		taken := chosen
		taken.put(v)
		leave.drop(v)
		if !l.list(in, taken, leave) {
			return false
		}
	}
	if !canStay {
		stay, canStay = l.other(part, best, near, SetOf(v))
	}
	if l.cut {
		return false
	}
	return !canStay || l.list(in.Without(near), chosen.Or(near), stay.Without(near))
}

// firstJoined is the smallest vertex of in with a neighbour in in, and those
// neighbours; vertices before it, which stay in every best cover, are taken out.
func (s *solver) firstJoined(in *Set) (int, Set) {
	for v := in.Next(0); v >= 0; v = in.Next(v + 1) {
		if near := s.adj[v].And(*in); !near.Empty() {
			return v, near
		}
		in.drop(v)
	}
	return -1, Set{}
}

// other looks for a cover as cheap as best that differs only inside part, leaves out
// all of out and keeps all of kept. The price cannot be beaten, so the search ends
// with the first one found.
func (l *lister) other(part, best, out, kept Set) (Set, bool) {
	s := l.s
	left := s.weight(best.And(part)) - s.weight(out)
	if left < 0 {
		return best, false
	}
	a := s.solve(part.Without(out).Without(kept), left+1, left)
	if !a.found {
		l.cut = a.lower <= left
		return best, false
	}
	return best.Without(part).Or(out).Or(a.cover), true
}
