package graph

import "math"

const (
	// MaxWeight is the greatest weight or cost of one vertex. Sums over MaxVertices
	// vertices then stay far inside 64 bits.
	MaxWeight = 1e9
	// steps is the number of whole steps in a weight of 1.
	steps = 1e6
)

// toSteps rounds a weight to whole steps of 1e-6. A weight below one step counts as
// one step, so that leaving something out is never free.
func toSteps(w float64) (int64, error) {
	if !(w > 0 && w <= MaxWeight) {
		return 0, ErrWeight
	}
	return max(1, int64(math.Round(w*steps))), nil
}

// weightsInSteps turns weights into steps; nil means 1 each.
func weightsInSteps(n int, weight []float64) ([]int64, error) {
	if weight != nil && len(weight) != n {
		return nil, ErrSize
	}
	out := make([]int64, n)
	for v := range out {
		out[v] = steps
		if weight == nil {
			continue
		}
		q, err := toSteps(weight[v])
		if err != nil {
			return nil, err
		}
		out[v] = q
	}
	return out, nil
}

// fromSteps is the weight of so many steps.
func fromSteps(q int64) float64 { return float64(q) / steps }
