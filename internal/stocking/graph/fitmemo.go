package graph

// memoSize is the number of answers of a caller's fits function that are remembered.
// It bounds the memory to some megabytes.
const memoSize = 1 << 16

// memo asks a question about sets and remembers the answers.
type memo struct {
	ask  func(bin int, s Set) bool // nil: everything fits
	seen map[binSet]bool
}

type binSet struct {
	bin int
	set Set
}

func newMemo(ask func(bin int, s Set) bool) *memo {
	return &memo{ask: ask, seen: make(map[binSet]bool)}
}

// fits tells whether the set fits the bin.
func (m *memo) fits(bin int, s Set) bool {
	if m.ask == nil {
		return true
	}
	key := binSet{bin, s}
	if yes, ok := m.seen[key]; ok {
		return yes
	}
	yes := m.ask(bin, s)
	if len(m.seen) < memoSize {
		m.seen[key] = yes
	}
	return yes
}
