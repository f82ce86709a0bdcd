package placements

import (
	"cmp"
	"math"
	"slices"

	"commensal/internal/stocking/graph"
)

// defaultPlacementNodes bounds the search where nothing else is asked for.
const defaultPlacementNodes = 20_000

// maxTried bounds how many sets of fish are judged in one tank in search of a good
// assignment, before the search for proof, which has its own limit.
const maxTried = 6_000

// nearZero is what sums of harms may differ by in the order of adding up.
const nearZero = 1e-6

// assignment is where each unit goes.
type assignment struct {
	tank       []int // by unit, -1 for none
	lost, harm float64
	// lostBound and harmBound are what no assignment goes below.
	lostBound, harmBound float64
	optimal              bool
	nodes                int64
}

// search searches for the best assignment of units that share tanks, by branch and
// bound: the units with the fewest tanks first, each into its tanks by the harm it
// does there alone, which more company never lowers. Where a unit may meet its own
// species, whose company can calm it, nothing is taken for its harm from below.
type search struct {
	*placing
	order []int       // units
	ranks [][]int     // by unit: tanks that can take it, the least harm alone first
	rest  []float64   // harm of the units from a place of order on, from below
	held  []graph.Set // by tank
	at    []int       // by unit
	limit int64
	cut   bool
	best  assignment
	nodes int64
}

// search fills in the best assignment that is found.
func (p *placing) search() {
	s := &search{placing: p, limit: p.o.NodeLimit, held: make([]graph.Set, len(p.tanks)), at: make([]int, len(p.units))}
	if s.limit <= 0 {
		s.limit = defaultPlacementNodes
	}
	s.rankTanks()
	switch {
	case p.o.OneEach:
		s.match()
	default:
		s.bound()
		s.improve()
		s.prove()
	}
	p.found = s.best
	if p.ended { // another tank might have been better
		p.found.optimal, p.found.lostBound, p.found.harmBound = false, 0, 0
	}
}

// rankTanks sorts the tanks of each unit, and the units.
func (s *search) rankTanks() {
	s.ranks = make([][]int, len(s.units))
	for u := range s.units {
		s.at[u], s.order = -1, append(s.order, u)
		for t := range s.tanks {
			if s.alone[t][u].fits() {
				s.ranks[u] = append(s.ranks[u], t)
			}
		}
		slices.SortStableFunc(s.ranks[u], func(a, b int) int { return cmp.Compare(s.alone[a][u].harm, s.alone[b][u].harm) })
	}
	slices.SortStableFunc(s.order, func(a, b int) int {
		return cmp.Or(cmp.Compare(len(s.ranks[a]), len(s.ranks[b])), cmp.Compare(s.units[b].weight, s.units[a].weight))
	})
}

// least is the least harm that a unit does, wherever it goes.
func (s *search) least(u int) float64 {
	if s.units[u].kin || len(s.ranks[u]) == 0 {
		return 0
	}
	return s.alone[s.ranks[u][0]][u].harm
}

// bound finds what nothing goes below: every unit in its best tank, without the others.
func (s *search) bound() {
	s.rest = make([]float64, len(s.order)+1)
	for k := len(s.order) - 1; k >= 0; k-- {
		u := s.order[k]
		s.rest[k] = s.rest[k+1] + s.least(u)
		if len(s.ranks[u]) == 0 {
			s.best.lostBound += s.units[u].weight
		}
	}
	s.best.harmBound = s.rest[0]
}

// added is what a unit adds to the harm of a tank with what it holds; +Inf where it
// cannot join.
func (s *search) added(t, u int) float64 {
	if s.held[t].Empty() {
		return s.alone[t][u].harm
	}
	with := s.held[t]
	with.Add(u)
	return s.harmOf(t, with) - s.harmOf(t, s.held[t])
}

func (s *search) put(u, t int) {
	s.at[u] = t
	s.held[t].Add(u)
}

func (s *search) take(u int) (from int) {
	if from = s.at[u]; from >= 0 {
		s.held[from].Remove(u)
	}
	s.at[u] = -1
	return from
}

// place puts a unit where it adds the least, if anywhere.
func (s *search) place(u int) bool {
	to, least := -1, math.Inf(1)
	for _, t := range s.ranks[u] {
		if to >= 0 && (!s.units[u].kin && s.alone[t][u].harm >= least || s.tired()) {
			break
		}
		if h := s.added(t, u); h < least-nearZero {
			to, least = t, h
		}
	}
	if to >= 0 {
		s.put(u, to)
	}
	return to >= 0
}

// maxPasses bounds how often all units are moved.
const maxPasses = 8

// improve makes a good assignment: each unit where it adds the least, then moved for as
// long as that helps, the others making room for those without a place.
func (s *search) improve() {
	for _, u := range s.order {
		s.place(u)
	}
	for range maxPasses {
		before := s.total()
		for _, u := range s.order {
			if s.tired() {
				break
			}
			if s.take(u) >= 0 || !s.makeRoom(u) {
				s.place(u)
			}
		}
		if !s.total().better(&before) {
			break
		}
	}
	s.keep()
}

func (s *search) tired() bool { return len(s.tried) > maxTried || s.o.Budget.EndedAt(searchShare) }

// makeRoom finds a unit that can move elsewhere so that u can have its place.
func (s *search) makeRoom(u int) bool {
	for _, t := range s.ranks[u] {
		if s.tired() {
			break
		}
		for v := s.held[t].Next(0); v >= 0; v = s.held[t].Next(v + 1) {
			s.take(v)
			if math.IsInf(s.added(t, u), 1) {
				s.put(v, t)
				continue
			}
			s.put(u, t)
			if s.place(v) {
				return true
			}
			s.take(u)
			s.put(v, t)
		}
	}
	return false
}

// total is the assignment as it stands.
func (s *search) total() assignment {
	a := assignment{tank: slices.Clone(s.at)}
	for u, t := range s.at {
		if t < 0 {
			a.lost += s.units[u].weight
		}
	}
	for t := range s.held {
		a.harm += s.harmOf(t, s.held[t])
	}
	return a
}

// better reports whether an assignment loses less, or as little with less harm.
func (a assignment) better(o *assignment) bool {
	return a.lost < o.lost-nearZero || a.lost < o.lost+nearZero && a.harm < o.harm-nearZero
}

// keep keeps the assignment as it stands if it is the best so far.
func (s *search) keep() {
	if now := s.total(); s.best.tank == nil || now.better(&s.best) {
		s.best.tank, s.best.lost, s.best.harm = now.tank, now.lost, now.harm
	}
}

// prove searches for a better assignment until there is none, or the limit is reached.
func (s *search) prove() {
	s.best.optimal = s.best.lost < s.best.lostBound+nearZero && s.best.harm < s.best.harmBound+nearZero
	if s.best.optimal {
		s.best.lostBound, s.best.harmBound = s.best.lost, s.best.harm // equal but for the order of adding up
		return
	}
	for u := range s.at {
		s.take(u)
	}
	s.node(0, 0, 0)
	s.best.nodes, s.best.optimal = s.nodes, !s.cut
	if s.best.optimal {
		s.best.lostBound, s.best.harmBound = s.best.lost, s.best.harm
	}
}

// node decides where the unit at a place of the order goes.
func (s *search) node(k int, lost, harm float64) {
	if !(assignment{lost: lost, harm: harm + s.rest[k]}).better(&s.best) {
		return
	}
	if s.nodes++; s.nodes > s.limit || s.o.Budget.EndedAt(searchShare) {
		s.cut = true
		return
	}
	if k == len(s.order) {
		s.keep()
		return
	}
	u := s.order[k]
	empty := map[int]bool{} // kinds of tanks that were tried empty
	for _, t := range s.ranks[u] {
		if s.held[t].Empty() {
			if empty[s.alike[t]] {
				continue
			}
			empty[s.alike[t]] = true
		}
		if !s.units[u].kin && !(assignment{lost: lost, harm: harm + s.alone[t][u].harm + s.rest[k+1]}).better(&s.best) {
			break
		}
		if h := s.added(t, u); !math.IsInf(h, 1) {
			s.put(u, t)
			s.node(k+1, lost, harm+h)
			s.take(u)
		}
		if s.cut {
			return
		}
	}
	s.node(k+1, lost+s.units[u].weight, harm)
}

// match places at most one unit in each tank: an assignment problem, with proof.
func (s *search) match() {
	apart := graph.New(len(s.units))
	weight := make([]float64, len(s.units))
	for u := range s.units {
		weight[u] = min(s.units[u].weight, graph.MaxWeight)
		for v := range u {
			apart.AddEdge(u, v)
		}
	}
	r := graph.Assign(len(s.units), len(s.tanks), apart, nil, func(t, u int) float64 { return s.alone[t][u].harm },
		graph.AssignOptions{Weight: weight, Alike: s.alike, NodeLimit: s.o.NodeLimit, Budget: s.o.Budget})
	s.best = assignment{tank: r.Bin, lost: r.Lost, harm: r.Cost, lostBound: r.LowerLost, harmBound: r.LowerBound, optimal: r.Optimal, nodes: r.Nodes}
}
