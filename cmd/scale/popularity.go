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
const asks = 400_000

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

// best is the largest share of what is asked that a cache of a number of MiB can have.
func best(f *scale.Figures, mib int, s float64) (float64, error) {
	p, err := scale.NewPairs(f.Kinds, s)
	if err != nil {
		return 0, err
	}
	return p.Best(int(float64(room(mib)) / (f.PairingBytes + respond.BesideBody))), nil
}

// simulated is the share that the service's cache has.
func simulated(f *scale.Figures, mib int, s float64) (float64, error) {
	p, err := scale.NewPairs(f.Kinds, s)
	if err != nil {
		return 0, err
	}
	return p.Simulate(newAnswers(mib, f.PairingBytes), rand.New(rand.NewPCG(1, uint64(mib))), asks, asks), nil
}

// writePopularity writes the share for each size and exponent.
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
	for _, mib := range cacheSizes {
		fmt.Fprintf(w, "| %d MiB |", mib)
		for _, s := range exponents {
			most, err := best(f, mib, s)
			if err != nil {
				return err
			}
			had, err := simulated(f, mib, s)
			if err != nil {
				return err
			}
			fmt.Fprintf(w, " %.0f %% (%.0f %%) |", 100*had, 100*most)
		}
		fmt.Fprintln(w)
	}
	return nil
}
