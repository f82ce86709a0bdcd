package graph

// Reason says why a vertex is left out: the neighbours it would meet.
type Reason struct {
	Vertex int
	Stays  []int // its neighbours that stay, ascending; empty when it could stay too
}

// Reasons gives for each vertex of set, in ascending order, the neighbours that stay
// when set is left out. Numbers in set that are not vertices of g are passed over.
func Reasons(g *Graph, set []int) []Reason {
	out := SetOf(set...).And(firstN(g.N()))
	reasons := make([]Reason, 0, out.Len())
	for v := out.Next(0); v >= 0; v = out.Next(v + 1) {
		reasons = append(reasons, Reason{v, g.adj[v].Without(out).Members()})
	}
	return reasons
}
