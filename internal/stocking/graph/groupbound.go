package graph

import "math"

// The node limit of each small search made for a bound is this share of the search's
// own limit, between a least and a greatest, so that bounds stay cheap beside it.
const (
	boundShare    = 100
	boundNodesMin = 10
	boundNodesMax = 2000
)

func (p *grouper) boundNodes() int64 {
	return min(max(p.limit/boundShare, boundNodesMin), boundNodesMax)
}

// clique is a largest set of vertices that pairwise cannot share a group, or a large
// one when the node limit of the bound is too small: each needs its own group.
func (p *grouper) clique() Set {
	apart := &Graph{adj: p.adj}
	s := newSolver(apart.complement().adj, unitWeights(len(p.adj)), newMeter(10*p.boundNodes(), p.budget, len(p.adj), 1))
	out := s.greedy(p.all)
	if a := s.solve(p.all, s.weight(out), 0); a.found {
		out = a.cover
	}
	return p.all.Without(out)
}

func unitWeights(n int) []int64 {
	w := make([]int64, n)
	for v := range w {
		w[v] = 1
	}
	return w
}

// newGroups is how many new groups the loads of left need at least, when the groups so
// far take all they have room for, though no more than the vertices they are open to.
func (p *grouper) newGroups(left Set) int {
	if p.room == noLimit {
		return 0
	}
	need := p.loadOf(left)
	for k := range p.free {
		if open := p.open[k].And(left); !open.Empty() {
			need -= min(p.free[k], p.loadOf(open))
		}
	}
	if need <= 0 || p.room == 0 {
		return 0 // with no room at all, only vertices without load are left
	}
	return int((need + p.room - 1) / p.room)
}

func (p *grouper) loadOf(s Set) int64 {
	var sum int64
	for v := s.Next(0); v >= 0; v = s.Next(v + 1) {
		sum += p.load[v]
	}
	return sum
}

// sharingBound gives each vertex the share 1/m of its group, m being the most that a
// group with that vertex can hold. The shares in a group add up to 1 at most, so all
// shares together are at most the number of groups.
func (p *grouper) sharingBound() int {
	s := newSolver(p.adj, unitWeights(len(p.adj)), newMeter(1, p.budget, len(p.adj), 1))
	share := 0.0
	for v := p.all.Next(0); v >= 0; v = p.all.Next(v + 1) {
		open := p.all.Without(p.adj[v])
		open.drop(v)
		share += 1 / float64(1+p.mostBeside(s, v, open))
	}
	return int(math.Ceil(share - 1e-9)) // the tolerance only ever lowers the bound
}

// mostBeside bounds from above how many of open can be in one group with v.
func (p *grouper) mostBeside(s *solver, v int, open Set) int {
	size := int64(open.Len())
	if p.memo.ask == nil && p.room == noLimit {
		s.limit = s.nodes + p.boundNodes()
		return int(size - s.solve(open, size+1, 0).lower)
	}
	f := filler{p: p, s: s, left: p.boundNodes()}
	f.grow(SetOf(v), open, 0, p.room-p.load[v])
	if f.left <= 0 {
		return int(size - s.cliqueBound(open))
	}
	return f.most
}

// filler finds how many vertices fit together by trying.
type filler struct {
	p    *grouper
	s    *solver
	left int64 // tries left
	most int
}

// grow adds vertices of open to the group, which has so many beside the first and so
// much free room.
func (f *filler) grow(group, open Set, have int, free int64) {
	f.most = max(f.most, have)
	for !open.Empty() {
		if f.left--; f.left <= 0 {
			return
		}
		if have+open.Len()-int(f.s.cliqueBound(open)) <= f.most {
			return
		}
		u := open.pop()
		with := group
		with.put(u)
		if load := f.p.load[u]; load <= free && f.p.memo.fits(0, with) {
			f.grow(with, open.Without(f.p.adj[u]), have+1, free-load)
		}
	}
}
