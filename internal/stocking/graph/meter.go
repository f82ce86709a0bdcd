package graph

import "commensal/internal/budget"

// meter bounds a search: by its own limit of nodes, and by the budget of whoever asked.
type meter struct {
	nodes, limit int64
	each         int64 // units of the budget that a node costs
	budget       *budget.Budget
}

// newMeter makes a meter for a search over n vertices in bins; a limit of 0 or less is
// DefaultNodeLimit. What a node costs grows with what it looks at: a unit or two
// for tens of vertices, some ten for hundreds.
func newMeter(limit int64, b *budget.Budget, n, bins int) meter {
	if limit <= 0 {
		limit = DefaultNodeLimit
	}
	return meter{limit: limit, each: 1 + int64(n*max(n, bins))/4000, budget: b}
}

// step counts a node.
func (m *meter) step() {
	m.nodes++
	m.budget.Spend(m.each)
}

// spent tells that the limit is used up, or the budget.
func (m *meter) spent() bool { return m.nodes >= m.limit || m.budget.Ended() }
