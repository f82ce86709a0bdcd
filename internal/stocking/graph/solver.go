package graph

// solver finds cheapest vertex covers inside parts of one graph. It works on one
// problem at a time; its weights are changed by reductions and restored after.
type solver struct {
	adj   []Set
	w     []int64 // current weights, in steps, all above 0
	undo  []change
	folds []fold
	flow  *transport
	spare []int64 // scratch of the clique bound: weight not covered yet
	meter
	sight int // the number of neighbours that the next reduction looks at
}

// change is a weight as it was before a reduction.
type change struct {
	vertex int
	weight int64
}

// answer is what is known of a problem "cover these edges for less than so much".
// The search was complete exactly when lower reaches the cost found, or the price
// asked for when none was found.
type answer struct {
	found bool  // a cover below the price was found
	cost  int64 // its cost
	cover Set
	lower int64 // no cover costs less
}

func newSolver(adj []Set, w []int64, m meter) *solver {
	return &solver{
		adj: adj, w: w, meter: m, sight: len(adj),
		flow:  newTransport(adj),
		spare: make([]int64, len(adj)),
	}
}

// weight is the total weight of the set.
func (s *solver) weight(of Set) int64 {
	var sum int64
	for v := of.Next(0); v >= 0; v = of.Next(v + 1) {
		sum += s.w[v]
	}
	return sum
}

// solve looks for the cheapest cover of the edges inside in that costs less than
// under. The caller vouches that no cover costs less than known.
func (s *solver) solve(in Set, under, known int64) answer {
	s.step()
	if known = max(known, 0); known >= under {
		return answer{lower: known}
	}
	if !s.spent() && s.crowded(in) {
		return s.branch(in, under, known)
	}
	undo, folds := len(s.undo), len(s.folds)
	rest, taken, paid := s.reduce(in)
	a := s.reduced(rest, under-paid, known-paid)
	a.cost += paid
	a.lower += paid
	a.cover = a.cover.Or(taken)
	a.cover = s.unfold(a.cover, folds)
	s.restore(undo)
	return a
}

// reduced solves what the reductions have left.
func (s *solver) reduced(rest Set, under, known int64) answer {
	if rest.Empty() {
		return answer{found: under > 0}
	}
	known = max(known, 0)
	if known < under {
		known = max(known, s.cliqueBound(rest))
	}
	if known >= under || s.spent() {
		return answer{lower: known}
	}
	if part := component(s.adj, rest, rest.Next(0)); part != rest {
		return s.parts(rest, under)
	}
	return s.branch(rest, under, known)
}

// A part is crowded when its vertices have at most crowdApart others on average that
// they are not joined to, and one in crowdShare of all pairs is joined. On random graphs
// of 60 vertices this took half to three quarters of the time off densities from 0.7
// and left the others as they were.
const (
	crowdApart = 16
	crowdShare = 3
)

// crowded tells whether so few can stay that branching alone ends sooner than
// reductions and bounds would pay.
func (s *solver) crowded(in Set) bool {
	n, twice := in.Len(), 0
	for v := in.Next(0); v >= 0; v = in.Next(v + 1) {
		twice += s.adj[v].And(in).Len()
	}
	return twice > 0 && n*(n-1)-twice <= crowdApart*n && twice*crowdShare >= n*(n-1)
}

// branch decides a vertex of many neighbours both ways: it stays and its neighbours
// are left out, or it is left out itself.
func (s *solver) branch(rest Set, under, known int64) answer {
	v := s.pick(rest)
	rest.drop(v)
	near := s.adj[v].And(rest)
	out := s.weight(near)
	stay := s.solve(rest.Without(near), under-out, known-out)
	stay.cost += out
	stay.lower += out
	stay.cover = stay.cover.Or(near)
	if stay.found {
		if stay.cost <= known {
			return stay
		}
		under = stay.cost
	}
	leave := s.solve(rest, under-s.w[v], known-s.w[v])
	leave.cost += s.w[v]
	leave.lower += s.w[v]
	leave.cover.put(v)
	lower := max(known, min(stay.lower, leave.lower))
	if !leave.found {
		leave = stay
	}
	leave.lower = lower
	return leave
}

// pick chooses the vertex to branch on: most neighbours, then heaviest neighbours for
// its own weight, then smallest number.
func (s *solver) pick(rest Set) int {
	best, bestDegree, bestWeight := -1, -1, int64(0)
	for v := rest.Next(0); v >= 0; v = rest.Next(v + 1) {
		d := s.adj[v].And(rest).Len()
		if d > bestDegree || d == bestDegree && s.w[v] > bestWeight {
			best, bestDegree, bestWeight = v, d, s.w[v]
		}
	}
	return best
}

// parts solves a graph of several components one by one, the price of each being what
// the others leave over at their least.
func (s *solver) parts(rest Set, under int64) answer {
	var pieces []Set
	var bounds []int64
	var ahead int64 // least cost of the pieces not solved yet
	for left := rest; !left.Empty(); {
		p := component(s.adj, left, left.Next(0))
		left = left.Without(p)
		b := s.cliqueBound(p)
		pieces, bounds, ahead = append(pieces, p), append(bounds, b), ahead+b
	}
	total := answer{found: true}
	for i, p := range pieces {
		ahead -= bounds[i]
		a := s.solve(p, under-total.cost-ahead, bounds[i])
		if !a.found && s.spent() {
			a.cover = s.greedy(p)
			a.cost = s.weight(a.cover)
			a.found = true
		}
		total.cost += a.cost
		total.lower += max(a.lower, bounds[i])
		total.cover = total.cover.Or(a.cover)
		if !a.found {
			return answer{lower: total.lower + ahead}
		}
	}
	total.found = total.cost < under
	return total
}
