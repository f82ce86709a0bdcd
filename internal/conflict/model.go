// Package conflict is the model: two species (or single fish) and, where known,
// the tank go in; an explained conflict score comes out. README.md has the formulas,
// the constants, the laws and the calibration.
//
// The package is pure: no input or output, no clock, no randomness, no map
// iteration order. The same inputs give the same bytes.
package conflict

import "math"

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
