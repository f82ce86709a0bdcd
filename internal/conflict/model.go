// Package conflict is the model: two species (or single fish) and, where known,
// the tank go in; an explained conflict score comes out. README.md has the formulas,
// the constants, the laws and the calibration.
//
// The package is pure: no input or output, no clock, no randomness, no map
// iteration order. The same inputs give the same bytes.
package conflict

import (
	"math"
	"sync"

	"commensal/internal/species"
	"commensal/internal/species/law"
)

// Model scores pairings with one set of weights. It is immutable and safe for
// concurrent use.
type Model struct {
	w Weights
}

// New makes a model; the error is that of [Weights.Validate].
func New(w Weights) (*Model, error) {
	if err := w.Validate(); err != nil {
		return nil, err
	}
	return &Model{w: w}, nil
}

// Default is the model with the weights compiled into the binary.
func Default() (*Model, error) {
	w, err := EmbeddedWeights()
	if err != nil {
		return nil, err
	}
	return New(w)
}

// formVersion changes whenever the form of a term, a constant or a sentence does.
const formVersion = "5"

// Version identifies the model's form and its weights, for example
// "5-2026-11-30": equal versions give equal answers.
func (m *Model) Version() string { return formVersion + "-" + m.w.Version }

// Book is a catalogue revision made ready for one model: every species' profile as a
// customary group of adults. It is immutable and safe to share, so lookups need no
// database.
type Book struct {
	Model    *Model
	Snapshot *species.Snapshot
	// Law has the published rules that are known, empty where none are.
	Law   []law.Rule
	kinds []Profile
	asked []sync.Once // whether each of the kinds was made ready; nil where all were at once
	// columns is the same in columns, made when it is asked for first.
	columns func() *columns
	kept    *kept // see [Book.Keep]
}

// NewBook prepares every species of the snapshot, on all processors.
func NewBook(m *Model, s *species.Snapshot) *Book {
	b := BookAsAsked(m, s)
	b.readyAll()
	b.asked = nil
	return b
}

// BookAsAsked prepares each species when it is asked for first: for a program that ends after a question or two.
func BookAsAsked(m *Model, s *species.Snapshot) *Book {
	b := &Book{Model: m, Snapshot: s, kinds: make([]Profile, s.Len()), asked: make([]sync.Once, s.Len()), kept: &kept{}}
	b.columns = sync.OnceValue(func() *columns {
		b.readyAll()
		return m.columnsOf(b.kinds)
	})
	return b
}

// fewKinds is how many kinds one processor makes ready at a time.
const fewKinds = 128

// readyAll makes every species ready.
func (b *Book) readyAll() {
	inParts(len(b.kinds), fewKinds, func(from, to int) {
		for i := from; i < to; i++ {
			b.kind(i)
		}
	})
}

// kind is the i-th species as a customary group of adults. They stand one behind the other.
func (b *Book) kind(i int) *Profile {
	if b.asked != nil {
		b.asked[i].Do(func() { b.kinds[i] = *b.Model.Profile(b.Snapshot.At(i), Individual{}) })
	}
	return &b.kinds[i]
}

// UnderLaw is the book with published rules.
func (b *Book) UnderLaw(rules []law.Rule) *Book {
	under := *b
	under.Law = rules
	return &under
}

// Profile is the profile of the snapshot's i-th species as a customary group of adults.
func (b *Book) Profile(i int) *Profile { return b.kind(i) }

// For is the profile of the i-th species for the given fish.
func (b *Book) For(i int, ind Individual) *Profile {
	if ind == (Individual{}) {
		return b.kind(i)
	}
	return b.Model.profile(b.kind(i).kind, ind)
}

// Value is the reference-conditions score of the i-th with the j-th species.
func (b *Book) Value(i, j int) float64 {
	first, second := b.kind(i), b.kind(j)
	c := ConditionsFor(first, second, nil)
	return b.Model.Value(first, second, &c)
}

// risk turns a hazard into a risk in [0,1).
func risk(hazard float64) float64 {
	if hazard < exactBelow {
		return -math.Expm1(-hazard)
	}
	return 1 - math.Exp(-hazard) // as exact here, and quicker
}

// exactBelow is the hazard below which 1 − e^(−hazard) loses digits to the 1.
const exactBelow = 0.1

// chance is a Hill curve, or a logistic one of logarithms: 1/(1+(size ÷ limit)^steepness), from
// limit^−steepness and size^steepness. Each side's power is worked out once for all of its
// pairings, which then need no exponential.
func chance(limit, size float64) float64 { return 1 / (1 + limit*size) }

// power is x^steepness of x = e^ln.
func power(steepness, ln float64) float64 { return math.Exp(steepness * ln) }

func clamp(x, low, high float64) float64 { return min(max(x, low), high) }
