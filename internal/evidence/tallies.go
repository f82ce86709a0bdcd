package evidence

import "maps"

// Pair is two species by id in alphabetical order; both may be the same.
type Pair struct{ First, Second string }

// PairOf is the pair of two species named in either order.
func PairOf(one, other string) Pair {
	if other < one {
		one, other = other, one
	}
	return Pair{one, other}
}

// Tallies is what is reported of every pair: a snapshot that never changes and may be
// shared. The nil snapshot holds nothing.
type Tallies struct{ of map[Pair]Tally }

// NewTallies makes a snapshot; the map is the snapshot's from now on.
func NewTallies(of map[Pair]Tally) *Tallies { return &Tallies{of} }

// Of is what is reported of a pair; the zero tally for nothing.
func (t *Tallies) Of(p Pair) Tally {
	if t == nil || len(t.of) == 0 {
		return Tally{}
	}
	return t.of[p]
}

// Len is the number of pairs with reports.
func (t *Tallies) Len() int {
	if t == nil {
		return 0
	}
	return len(t.of)
}

// Equal reports whether two snapshots say the same.
func (t *Tallies) Equal(other *Tallies) bool {
	if t == nil || other == nil {
		return t == other
	}
	return maps.Equal(t.of, other.of)
}
