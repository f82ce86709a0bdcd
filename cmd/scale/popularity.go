package main

import (
	"fmt"
	"io"
	"math/rand/v2"

	"commensal/api/respond"
	"commensal/internal/conflict"
	"commensal/internal/scale"
)

// cacheSizes are values of COMMENSAL_ANSWER_CACHE, in MiB, and exponents how unevenly is asked.
var (
	cacheSizes = []int{8, 32, 128, 512}
	exponents  = []float64{0.6, 0.8, 1, 1.2}
)

// asks is how many lookups a simulation makes before it counts, and then again.
const asks = 150_000

// forPairings is the part of the cache that pairings have; lists have the rest.
const forPairings = 0.5

// answers is the service's own cache of answers, with bodies of one size.
type answers struct {
	book  *conflict.Book
	cache *respond.Cache[scale.Pair]
	reply *respond.Reply
}

// newAnswers makes one of a number of MiB.
func newAnswers(mib int, body float64) *answers {
	book := &conflict.Book{}
	books := respond.Books{Current: func() *conflict.Book { return book }}
	return &answers{book, respond.NewCache[scale.Pair](books, room(mib)), &respond.Reply{Body: make([]byte, int(body))}}
}

// room is the bytes for pairings in a cache of a number of MiB.
func room(mib int) int64 { return int64(forPairings * float64(mib) * (1 << 20)) }

// Has reports whether an answer is held, and counts as asking for it.
func (a *answers) Has(p scale.Pair) bool {
	_, ok := a.cache.Get(a.book, p)
	return ok
}

// Put holds an answer.
func (a *answers) Put(p scale.Pair) { a.cache.Put(a.book, p, a.reply) }

// held is how many answers a cache of a number of MiB holds.
func held(f *scale.Figures, mib int) int {
	return int(float64(room(mib)) / (f.PairingBytes + respond.BesideBody))
}

// The caches that are asked: the service's own, and the plainest.
func ofService(f *scale.Figures, mib int) scale.Cache { return newAnswers(mib, f.PairingBytes) }
func plainly(f *scale.Figures, mib int) scale.Cache   { return scale.NewLately(held(f, mib)) }

// simulated is the share of what is asked that a cache has.
func simulated(p *scale.Pairs, f *scale.Figures, mib int, of func(*scale.Figures, int) scale.Cache) float64 {
	return p.Simulate(of(f, mib), rand.New(rand.NewPCG(1, uint64(mib))), asks, asks)
}

// shares are what the service's cache, the plainest cache and the best possible one have of what is asked, in %.
func shares(p *scale.Pairs, f *scale.Figures, mib int) [3]float64 {
	return [3]float64{100 * simulated(p, f, mib, ofService), 100 * simulated(p, f, mib, plainly), 100 * p.Best(held(f, mib))}
}

// writePopularity writes the shares for each size and exponent.
func writePopularity(w io.Writer, f *scale.Figures) error {
	fmt.Fprint(w, "| cache |")
	for _, s := range exponents {
		fmt.Fprintf(w, " s = %v |", s)
	}
	fmt.Fprint(w, "\n| --- |")
	for range exponents {
		fmt.Fprint(w, " --- |")
	}
	fmt.Fprintln(w)
	pairs := make([]*scale.Pairs, len(exponents))
	for i, s := range exponents {
		var err error
		if pairs[i], err = scale.NewPairs(f.Kinds, s); err != nil {
			return err
		}
	}
	for _, mib := range cacheSizes {
		fmt.Fprintf(w, "| %d MiB |", mib)
		for _, p := range pairs {
			x := shares(p, f, mib)
			fmt.Fprintf(w, " %.0f, %.0f, %.0f %% |", x[0], x[1], x[2])
		}
		fmt.Fprintln(w)
	}
	return nil
}
