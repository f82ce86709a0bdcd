package graph

import "slices"

// grouper searches for a partition into few groups.
type grouper struct {
	all  Set   // the vertices to place
	adj  []Set // pairs that cannot share a group
	memo *memo // asked for groups of three or more
	load []int64
	room int64

	members []Set   // the groups so far
	open    []Set   // the vertices, placed or not, that could join each group
	best    []Set   // the groups of the best partition known
	free    []int64 // the room left in each group
	lower   int
	meter
	stopped bool // the node limit ended the search
}

// newGrouper drops vertices that fit nowhere and turns pairs that do not fit together
// into conflicts.
func newGrouper(adj []Set, fits func(Set) bool, load []int64, room int64, m meter) *grouper {
	p := &grouper{all: firstN(len(adj)), adj: adj, memo: newMemo(nil), load: load, room: room, meter: m}
	if fits != nil {
		p.memo = newMemo(func(_ int, s Set) bool { return fits(s) })
	}
	for v := range adj {
		if load[v] > room || !p.memo.fits(0, SetOf(v)) {
			p.all.drop(v)
		}
	}
	for u := p.all.Next(0); u >= 0; u = p.all.Next(u + 1) {
		for v := p.all.Next(u + 1); v >= 0; v = p.all.Next(v + 1) {
			if !adj[u].in(v) && (load[u]+load[v] > room || !p.memo.fits(0, SetOf(u, v))) {
				adj[u].put(v)
				adj[v].put(u)
			}
		}
	}
	return p
}

// run finds a first partition, bounds from below, and searches between the two.
func (p *grouper) run() {
	p.firstFit()
	clique := p.clique()
	p.lower = max(clique.Len(), p.newGroups(p.all))
	if p.lower < len(p.best) && p.searchFrom(clique, quickNodes) {
		return
	}
	if p.lower < len(p.best) {
		p.lower = max(p.lower, p.sharingBound())
	}
	if p.lower < len(p.best) {
		p.searchFrom(clique, p.limit)
	}
}

// quickNodes is how many nodes are searched before the sharing bound is worth its work.
const quickNodes = 250

// searchFrom searches from a clique, with so many more nodes at most, and reports whether the best
// partition is proved now.
func (p *grouper) searchFrom(clique Set, nodes int64) bool {
	limit := p.limit
	p.limit = min(limit, p.nodes+nodes)
	p.start(clique)
	p.search(p.all.Without(clique))
	p.limit = limit
	proved := !p.stopped
	if proved {
		p.lower = len(p.best)
	}
	p.stopped = false
	return proved
}

// start gives each member of the clique a group of its own, which loses nothing.
func (p *grouper) start(clique Set) {
	p.members, p.open, p.free = p.members[:0], p.open[:0], p.free[:0]
	for v := clique.Next(0); v >= 0; v = clique.Next(v + 1) {
		p.newGroup(v)
	}
}

// firstFit places each vertex into the first group that takes it, hardest first.
func (p *grouper) firstFit() {
	p.start(Set{})
	for left := p.all; !left.Empty(); {
		v, _ := p.hardest(left)
		left.drop(v)
		if k := slices.IndexFunc(p.open, func(s Set) bool { return s.in(v) }); k >= 0 {
			p.join(k, v, left)
		} else {
			p.newGroup(v)
		}
	}
	p.best = slices.Clone(p.members)
}

// newGroup opens a group with v.
func (p *grouper) newGroup(v int) {
	p.members = append(p.members, SetOf(v))
	p.open = append(p.open, p.all.Without(p.adj[v]))
	p.free = append(p.free, p.room-p.load[v])
}

// join puts v into group k and closes the group to those of left who cannot follow.
// It returns the group's state before.
func (p *grouper) join(k, v int, left Set) (members, open Set) {
	members, open = p.members[k], p.open[k]
	p.members[k].put(v)
	p.free[k] -= p.load[v]
	could := open.Without(p.adj[v])
	ask := could.And(left)
	for u := ask.Next(0); u >= 0; u = ask.Next(u + 1) {
		with := p.members[k]
		with.put(u)
		if p.load[u] > p.free[k] || !p.memo.fits(0, with) {
			could.drop(u)
		}
	}
	p.open[k] = could
	return members, open
}

// hardest is the vertex of left with the fewest open groups, then most conflicts in
// left, then the smallest number; and the vertices that no group is open to.
func (p *grouper) hardest(left Set) (int, Set) {
	best, fewest, most := -1, 0, 0
	var none Set
	for v := left.Next(0); v >= 0; v = left.Next(v + 1) {
		groups := 0
		for k := range p.open {
			if p.open[k].in(v) {
				groups++
			}
		}
		if groups == 0 {
			none.put(v)
		}
		if best >= 0 && groups > fewest {
			continue
		}
		if d := p.adj[v].And(left).Len(); best < 0 || groups < fewest || d > most {
			best, fewest, most = v, groups, d
		}
	}
	return best, none
}

// search places left in all ways that could beat the best partition known.
func (p *grouper) search(left Set) {
	if left.Empty() {
		p.best = append(p.best[:0], p.members...)
		return
	}
	if p.spent() {
		p.stopped = true
		return
	}
	p.step()
	v, none := p.hardest(left)
	if len(p.members)+max(p.pairwise(none), p.newGroups(left)) >= len(p.best) {
		return
	}
	left.drop(v)
	for k := range p.members {
		if !p.open[k].in(v) {
			continue
		}
		members, open := p.join(k, v, left)
		p.search(left)
		p.members[k], p.open[k] = members, open
		p.free[k] += p.load[v]
		if p.done() {
			return
		}
	}
	if used := len(p.members); used+1 < len(p.best) {
		p.newGroup(v)
		p.search(left)
		p.members, p.open, p.free = p.members[:used], p.open[:used], p.free[:used]
	}
}

// done tells that the search can end, or that this branch can no longer improve.
func (p *grouper) done() bool {
	return p.stopped || len(p.best) <= max(p.lower, len(p.members))
}

// pairwise is the size of a clique in s: so many new groups are needed at least.
func (p *grouper) pairwise(s Set) int {
	size := 0
	for v := s.Next(0); v >= 0; v = s.Next(v + 1) {
		size++
		s = s.And(p.adj[v])
	}
	return size
}

// groups lists the best partition in its canonical order.
func (p *grouper) groups() [][]int {
	out := make([][]int, 0, len(p.best))
	for _, s := range p.best {
		out = append(out, s.Members())
	}
	slices.SortFunc(out, func(a, b []int) int { return a[0] - b[0] })
	return out
}
