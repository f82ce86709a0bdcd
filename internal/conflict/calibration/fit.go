package calibration

import (
	"math"
	"sync"

	"commensal/internal/conflict"

	"gonum.org/v1/gonum/optimize"
)

// How the search goes: on the logarithms of the weights, by limited-memory BFGS
// (Nocedal 1980, Math. Comp. 35:773-782) with differences for slopes.
const (
	difference = 1e-3 // of ln(weight)
	maxRounds  = 60
	// wall is the cost of each squared unit of ln(weight) beyond its bounds; the weight itself
	// stays at the bound.
	wall = 1.0
)

// Fit searches the weights that minimise the objective, from start. It is deterministic.
func Fit(p Panel, start conflict.Weights) conflict.Weights { return fit(p, start, maxRounds) }

func fit(p Panel, start conflict.Weights, rounds int) conflict.Weights {
	f := func(x []float64) float64 {
		w, beyond := weightsAt(x, start.Version)
		return p.Objective(w) + wall*beyond
	}
	problem := optimize.Problem{Func: f, Grad: func(grad, x []float64) { slopes(f, grad, x) }}
	settings := &optimize.Settings{MajorIterations: rounds, GradientThreshold: 1e-4,
		Converger: &optimize.FunctionConverge{Absolute: 1e-4, Iterations: 6}}
	result, _ := optimize.Minimize(problem, logs(start), settings, &optimize.LBFGS{Store: 12})
	if result == nil {
		return start
	}
	w, _ := weightsAt(result.X, start.Version)
	if p.Objective(w) > p.Objective(start) {
		return start
	}
	return w
}

// slopes fills in the differences of f along every weight, in parallel.
func slopes(f func([]float64) float64, grad, x []float64) {
	here := f(x)
	var wg sync.WaitGroup
	next := make(chan int, len(x))
	for i := range x {
		next <- i
	}
	close(next)
	for range workers {
		wg.Go(func() {
			y := make([]float64, len(x))
			copy(y, x)
			for i := range next {
				y[i] = x[i] + difference
				grad[i] = (f(y) - here) / difference
				y[i] = x[i]
			}
		})
	}
	wg.Wait()
}

// workers is how many differences are taken at a time.
const workers = 2

// logs are the logarithms of weights, in the order of [conflict.WeightSpecs].
func logs(w conflict.Weights) []float64 {
	x := make([]float64, len(conflict.WeightSpecs))
	for i, s := range conflict.WeightSpecs {
		x[i] = math.Log(*s.At(&w))
	}
	return x
}

// weightsAt are the weights at a place, kept within their bounds, and the squared distance
// beyond them.
func weightsAt(x []float64, version string) (w conflict.Weights, beyond float64) {
	w.Version = version
	for i, s := range conflict.WeightSpecs {
		v := math.Exp(x[i])
		in := min(max(v, s.Min), s.Max)
		d := math.Log(v / in)
		beyond += d * d
		*s.At(&w) = in
	}
	return w, beyond
}
