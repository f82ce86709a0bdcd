package graph

// Graph is an undirected graph without loops on the vertices 0 to N()-1. Make one with
// New. It may be read by several goroutines once no edges are added any more.
type Graph struct {
	adj []Set // adj[v] is the set of v's neighbours
	err error
}

// New is a graph of n vertices without edges. With n outside 0 to MaxVertices the
// graph has no vertices and its Err is ErrSize.
func New(n int) *Graph {
	if n < 0 || n > MaxVertices {
		return &Graph{err: ErrSize}
	}
	return &Graph{adj: make([]Set, n)}
}

// N is the number of vertices.
func (g *Graph) N() int { return len(g.adj) }

// Err is the first mistake made with the graph: ErrSize, ErrVertex, ErrLoop, or nil.
// The solvers refuse a graph that has one, so it need not be asked for after each edge.
func (g *Graph) Err() error { return g.err }

// AddEdge joins u and v; an edge that is there already stays single. A loop or a
// vertex that does not exist is not added and shows in Err.
func (g *Graph) AddEdge(u, v int) {
	switch {
	case !g.has(u) || !g.has(v):
		g.fail(ErrVertex)
	case u == v:
		g.fail(ErrLoop)
	default:
		g.adj[u].put(v)
		g.adj[v].put(u)
	}
}

func (g *Graph) has(v int) bool { return v >= 0 && v < len(g.adj) }

func (g *Graph) fail(err error) {
	if g.err == nil {
		g.err = err
	}
}

// Has tells whether u and v are joined; false for vertices that do not exist.
func (g *Graph) Has(u, v int) bool { return g.has(u) && g.has(v) && g.adj[u].in(v) }

// complement is the graph with an edge exactly where g has none.
func (g *Graph) complement() *Graph {
	all := firstN(g.N())
	c := New(g.N())
	for v := range g.adj {
		c.adj[v] = all.Without(g.adj[v])
		c.adj[v].drop(v)
	}
	return c
}

// component is the part of in that is connected with v inside in.
func component(adj []Set, in Set, v int) Set {
	var reached Set
	reached.put(v)
	front := reached
	for {
		var next Set
		for u := front.Next(0); u >= 0; u = front.Next(u + 1) {
			next = next.Or(adj[u])
		}
		front = next.And(in).Without(reached)
		if front.Empty() {
			return reached
		}
		reached = reached.Or(front)
	}
}
