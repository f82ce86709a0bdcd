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
const formVersion = "3"

// Version identifies the model's form and its weights, for example
// "3-2026-11-25": equal versions give equal answers.
func (m *Model) Version() string { return formVersion + "-" + m.w.Version }

// risk turns a hazard into a risk in [0,1).
func risk(hazard float64) float64 { return -math.Expm1(-hazard) }

// sigmoid is the logistic function.
func sigmoid(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

func clamp(x, low, high float64) float64 { return min(max(x, low), high) }
