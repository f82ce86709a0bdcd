package graph

// transport solves the linear relaxation of the cover problem as a maximum flow in the
// bipartite double of the graph: each vertex sends up to its weight and receives up to
// its weight, along edges. By Nemhauser and Trotter (Mathematical Programming 8,
// 1975, from memory) the relaxation has a half-integral optimum, and some best cover
// agrees with it wherever it is whole.
type transport struct {
	adj        []Set
	send, recv []int64
	flow       []int64 // flow[u*n+v] from u's sending to v's receiving side
	fromSend   []int   // the sender that reached a receiver
	fromRecv   []int   // the receiver that reached a sender, -1 for a start
	queue      []int
}

func newTransport(adj []Set) *transport {
	n := len(adj)
	return &transport{
		adj:  adj,
		send: make([]int64, n), recv: make([]int64, n),
		fromSend: make([]int, n), fromRecv: make([]int, n),
		queue: make([]int, 0, n),
	}
}

// halfIntegral leaves out the vertices that the relaxation leaves out whole and keeps
// those that it keeps whole. It reports whether there were any.
func (s *solver) halfIntegral(rest *Set) (out Set, price int64, ok bool) {
	if !s.sparse(*rest) {
		return out, 0, false
	}
	sent, received := s.flow.run(*rest, s.w)
	out, kept := received.Without(sent), sent.Without(received)
	*rest = rest.Without(out).Without(kept)
	return out, s.weight(out), !out.Empty() || !kept.Empty()
}

// sparseDegree is the mean degree up to which the relaxation is worth its time. On
// random graphs of 60 and 80 vertices it saved up to a third of the nodes at mean
// degree 3 to 5, but no time from about 4 on; in denser ones it is one half everywhere.
const sparseDegree = 3

func (s *solver) sparse(rest Set) bool {
	n, twice := 0, 0
	for v := rest.Next(0); v >= 0; v = rest.Next(v + 1) {
		n++
		twice += s.adj[v].And(rest).Len()
	}
	return n > 0 && twice <= sparseDegree*n
}

// run finds the flow inside rest and returns the senders and receivers on the source
// side of a least cut: a vertex is kept whole when only its sender is there, left out
// whole when only its receiver is.
func (t *transport) run(rest Set, w []int64) (sent, received Set) {
	n := len(t.adj)
	if t.flow == nil {
		t.flow = make([]int64, n*n)
	}
	for v := rest.Next(0); v >= 0; v = rest.Next(v + 1) {
		t.send[v], t.recv[v] = w[v], w[v]
		clear(t.flow[v*n : v*n+n])
	}
	for u := rest.Next(0); u >= 0; u = rest.Next(u + 1) {
		near := t.adj[u].And(rest)
		for v := near.Next(0); v >= 0 && t.send[u] > 0; v = near.Next(v + 1) {
			t.push(u, v, min(t.send[u], t.recv[v]))
			t.send[u] -= t.flow[u*n+v]
			t.recv[v] -= t.flow[u*n+v]
		}
	}
	for {
		end := -1
		if sent, received, end = t.reach(rest); end < 0 {
			return sent, received
		}
		t.augment(end)
	}
}

func (t *transport) push(u, v int, by int64) { t.flow[u*len(t.adj)+v] += by }

// reach walks breadth first from every sender with something left to a receiver with
// room, and returns it, or -1 and all that was reached.
func (t *transport) reach(rest Set) (sent, received Set, end int) {
	t.queue = t.queue[:0]
	for u := rest.Next(0); u >= 0; u = rest.Next(u + 1) {
		if t.send[u] > 0 {
			sent.put(u)
			t.fromRecv[u] = -1
			t.queue = append(t.queue, u)
		}
	}
	for i := 0; i < len(t.queue); i++ {
		u := t.queue[i]
		fresh := t.adj[u].And(rest).Without(received)
		for v := fresh.Next(0); v >= 0; v = fresh.Next(v + 1) {
			received.put(v)
			t.fromSend[v] = u
			if t.recv[v] > 0 {
				return sent, received, v
			}
			t.back(v, rest, &sent)
		}
	}
	return sent, received, -1
}

// back adds the senders whose flow into v could be sent elsewhere.
func (t *transport) back(v int, rest Set, sent *Set) {
	n := len(t.adj)
	near := t.adj[v].And(rest).Without(*sent)
	for x := near.Next(0); x >= 0; x = near.Next(x + 1) {
		if t.flow[x*n+v] > 0 {
			sent.put(x)
			t.fromRecv[x] = v
			t.queue = append(t.queue, x)
		}
	}
}

// augment sends as much as fits along the path that ends at receiver end.
func (t *transport) augment(end int) {
	n := len(t.adj)
	by := t.recv[end]
	u := t.fromSend[end]
	for ; t.fromRecv[u] >= 0; u = t.fromSend[t.fromRecv[u]] {
		by = min(by, t.flow[u*n+t.fromRecv[u]])
	}
	by = min(by, t.send[u])
	t.send[u] -= by
	t.recv[end] -= by
	u = t.fromSend[end]
	t.push(u, end, by)
	for t.fromRecv[u] >= 0 {
		v := t.fromRecv[u]
		t.push(u, v, -by)
		u = t.fromSend[v]
		t.push(u, v, by)
	}
}
