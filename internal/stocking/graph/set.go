package graph

import "math/bits"

// MaxVertices is the greatest number of vertices of a Graph.
const MaxVertices = 64 * words

// words is the number of 64-bit words in a Set.
const words = 4

// Set is a set of vertices 0 to MaxVertices-1, as bits. The zero value is empty. Sets
// are values: they can be copied and compared with ==.
type Set [words]uint64

// SetOf is the set of the given vertices; numbers that cannot be a vertex are left out.
func SetOf(vs ...int) Set {
	var s Set
	for _, v := range vs {
		s.Add(v)
	}
	return s
}

// firstN is the set 0 to n-1, for n from 0 to MaxVertices.
func firstN(n int) Set {
	var s Set
	for k := range s {
		switch rest := n - 64*k; {
		case rest >= 64:
			s[k] = ^uint64(0)
		case rest > 0:
			s[k] = 1<<rest - 1
		}
	}
	return s
}

// Add puts v into the set; a number that cannot be a vertex is ignored.
func (s *Set) Add(v int) {
	if v >= 0 && v < MaxVertices {
		s.put(v)
	}
}

// Remove takes v out of the set, if it is there.
func (s *Set) Remove(v int) {
	if v >= 0 && v < MaxVertices {
		s.drop(v)
	}
}

// Has tells whether v is in the set.
func (s Set) Has(v int) bool { return v >= 0 && v < MaxVertices && s.in(v) }

func (s *Set) put(v int)     { s[(v>>6)&(words-1)] |= 1 << (v & 63) }
func (s *Set) drop(v int)    { s[(v>>6)&(words-1)] &^= 1 << (v & 63) }
func (s *Set) in(v int) bool { return s[(v>>6)&(words-1)]>>(v&63)&1 != 0 }

// Len is the number of members.
func (s Set) Len() int {
	return bits.OnesCount64(s[0]) + bits.OnesCount64(s[1]) + bits.OnesCount64(s[2]) + bits.OnesCount64(s[3])
}

// Empty tells whether the set has no member.
func (s Set) Empty() bool { return s[0]|s[1]|s[2]|s[3] == 0 }

// And is the set of members of both.
func (s Set) And(t Set) Set { return Set{s[0] & t[0], s[1] & t[1], s[2] & t[2], s[3] & t[3]} }

// Or is the set of members of either.
func (s Set) Or(t Set) Set { return Set{s[0] | t[0], s[1] | t[1], s[2] | t[2], s[3] | t[3]} }

// Without is the set of members of s that are not in t.
func (s Set) Without(t Set) Set {
	return Set{s[0] &^ t[0], s[1] &^ t[1], s[2] &^ t[2], s[3] &^ t[3]}
}

// Meets tells whether the sets have a member in common.
func (s Set) Meets(t Set) bool { return s[0]&t[0]|s[1]&t[1]|s[2]&t[2]|s[3]&t[3] != 0 }

// Within tells whether every member of s is in t.
func (s Set) Within(t Set) bool { return s[0]&^t[0]|s[1]&^t[1]|s[2]&^t[2]|s[3]&^t[3] == 0 }

// Next is the smallest member that is v or more, or -1 when there is none. Loops read
//
//	for v := s.Next(0); v >= 0; v = s.Next(v + 1)
func (s Set) Next(v int) int {
	if v < 0 {
		v = 0
	}
	k := v >> 6
	if k >= words {
		return -1
	}
	if w := s[k] >> (v & 63); w != 0 {
		return v + bits.TrailingZeros64(w)
	}
	for k++; k < words; k++ {
		if s[k] != 0 {
			return k<<6 + bits.TrailingZeros64(s[k])
		}
	}
	return -1
}

// Members lists the members in ascending order; it is empty, not nil, for no members.
func (s Set) Members() []int {
	out := make([]int, 0, s.Len())
	for v := s.Next(0); v >= 0; v = s.Next(v + 1) {
		out = append(out, v)
	}
	return out
}

// pop takes the smallest member out and returns it, or returns -1.
func (s *Set) pop() int {
	for k := range s {
		if w := s[k]; w != 0 {
			s[k] = w & (w - 1)
			return k<<6 + bits.TrailingZeros64(w)
		}
	}
	return -1
}
