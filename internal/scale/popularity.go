package scale

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"sync"
)

// Pairs is how often each pair of kinds is asked for, where the kind of rank r is asked for in proportion to r^-s (Zipf's
// law) and both kinds of a pair are drawn so, a kind with itself included. With s = 0 all are asked for alike; the
// words of a language, or the pages of a site, are near 1.
type Pairs struct {
	kinds int
	upTo  []float64      // share of what is asked up to a rank
	order func() []asked // all pairs, the most asked first; sorted at the first call
}

// NewPairs makes the pairs of so many kinds. s is from 0 to 3.
func NewPairs(kinds int, s float64) (*Pairs, error) {
	if kinds < 1 || !(s >= 0 && s <= 3) {
		return nil, fmt.Errorf("scale: %d kinds by Zipf's law with s = %v: write at least 1 and 0 to 3", kinds, s)
	}
	p := &Pairs{kinds: kinds, upTo: make([]float64, kinds)}
	p.order = sync.OnceValue(p.sorted)
	sum := 0.0
	for i := range p.upTo {
		sum += math.Pow(float64(i+1), -s)
		p.upTo[i] = sum
	}
	for i := range p.upTo {
		p.upTo[i] /= sum
	}
	return p, nil
}

// Pair is two kinds by their ranks, from 0, the more asked first.
type Pair struct{ First, Second int32 }

// Draw draws the next pair that is asked for.
func (p *Pairs) Draw(rng *rand.Rand) Pair {
	a, b := p.kind(rng.Float64()), p.kind(rng.Float64())
	return Pair{min(a, b), max(a, b)}
}

func (p *Pairs) kind(at float64) int32 {
	return int32(min(sort.SearchFloat64s(p.upTo, at), p.kinds-1))
}

// share is how much of what is asked is a pair.
func (p *Pairs) share(first, second int) float64 {
	of := func(i int) float64 {
		if i == 0 {
			return p.upTo[0]
		}
		return p.upTo[i] - p.upTo[i-1]
	}
	if first == second {
		return of(first) * of(first)
	}
	return 2 * of(first) * of(second)
}

// Best is the largest share of what is asked that a cache of so many answers can have: it always holds the same ones,
// those that are asked for most. A cache that must find them out comes to less.
func (p *Pairs) Best(answers int) (share float64) {
	for _, a := range p.most(answers) {
		share += a.share
	}
	return min(share, 1)
}

// asked is a pair and how much of what is asked it is.
type asked struct {
	pair  Pair
	share float64
}

// most are the pairs that are asked for most, the first first.
func (p *Pairs) most(answers int) []asked {
	all := p.order()
	return all[:min(max(answers, 0), len(all))]
}

func (p *Pairs) sorted() []asked {
	all := make([]asked, 0, p.Count())
	for i := range p.kinds {
		for k := i; k < p.kinds; k++ {
			all = append(all, asked{Pair{int32(i), int32(k)}, p.share(i, k)})
		}
	}
	slices.SortFunc(all, func(a, b asked) int { return cmp.Compare(b.share, a.share) })
	return all
}

// Count is how many pairs there are.
func (p *Pairs) Count() int { return p.kinds * (p.kinds + 1) / 2 }

// Cache holds answers by pair.
type Cache interface {
	Has(Pair) bool
	Put(Pair)
}

// Simulate asks a cache for pairs as they are drawn, puts what it has not, and tells the share that it had, after so
// many that only warm it.
func (p *Pairs) Simulate(c Cache, rng *rand.Rand, warm, counted int) float64 {
	had := 0
	for n := range warm + counted {
		pair := p.Draw(rng)
		switch {
		case !c.Has(pair):
			c.Put(pair)
		case n >= warm:
			had++
		}
	}
	return float64(had) / float64(counted)
}

// Static is a cache that holds the pairs that are asked for most, and nothing else ever.
type Static map[Pair]bool

// NewStatic makes one of so many answers.
func (p *Pairs) NewStatic(answers int) Static {
	s := Static{}
	for _, a := range p.most(answers) {
		s[a.pair] = true
	}
	return s
}

// Has reports whether a pair is one of them.
func (s Static) Has(p Pair) bool { return s[p] }

// Put changes nothing.
func (Static) Put(Pair) {}
