package outlier

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

const (
	// huber is the distance from which on a value loses weight, for 95 % efficiency (Huber 1964).
	huber = 1.345
	// ridge keeps predictors that say the same from running away; against some hundreds of entries it is small.
	ridge = 3.0
	// rounds of reweighting; the weights hardly move after the first few.
	rounds = 8
	// madToSD makes the median of absolute deviations a standard deviation: 1/Φ⁻¹(3/4).
	madToSD = 1.4826
)

// robust gives the median of a list that is not empty and the scaled median of absolute deviations.
func robust(list []float64) (centre, spread float64) {
	centre = median(list)
	apart := make([]float64, len(list))
	for i, x := range list {
		apart[i] = math.Abs(x - centre)
	}
	return centre, madToSD * median(apart)
}

func median(list []float64) float64 {
	sorted := slices.Sorted(slices.Values(list))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// leaveOneOut fits y on x and gives for each row the residual of the fit without that row, e/(1-h), with h
// the leverage under the final weights. ok is false where the fit cannot be made.
func leaveOneOut(x *mat.Dense, y []float64) (residuals []float64, ok bool) {
	n, p := x.Dims()
	weights := make([]float64, n)
	for i := range weights {
		weights[i] = 1
	}
	residuals = make([]float64, n)
	var inverse mat.SymDense
	for range rounds {
		beta, fits := solve(x, y, weights, &inverse)
		if !fits {
			return nil, false
		}
		for i := range n {
			residuals[i] = y[i] - mat.Dot(x.RowView(i), beta)
		}
		reweigh(weights, residuals)
	}
	var hx mat.VecDense
	hx.ReuseAsVec(p)
	for i := range n {
		hx.MulVec(&inverse, x.RowView(i))
		leverage := weights[i] * mat.Dot(x.RowView(i), &hx)
		residuals[i] /= math.Max(1-leverage, 0.1)
	}
	return residuals, true
}

// solve gives the weighted ridge solution, and the inverse of its normal matrix.
func solve(x *mat.Dense, y, weights []float64, inverse *mat.SymDense) (beta *mat.VecDense, ok bool) {
	n, p := x.Dims()
	normal, right := mat.NewSymDense(p, nil), mat.NewVecDense(p, nil)
	for j := 1; j < p; j++ { // the constant is not shrunk
		normal.SetSym(j, j, ridge)
	}
	for i := range n {
		row := x.RowView(i)
		normal.SymRankOne(normal, weights[i], row)
		right.AddScaledVec(right, weights[i]*y[i], row)
	}
	var cholesky mat.Cholesky
	if !cholesky.Factorize(normal) {
		return nil, false
	}
	beta = mat.NewVecDense(p, nil)
	if cholesky.SolveVecTo(beta, right) != nil {
		return nil, false
	}
	return beta, cholesky.InverseTo(inverse) == nil
}

// reweigh gives full weight to what is near the fit and less the farther it is off.
func reweigh(weights, residuals []float64) {
	_, spread := robust(residuals)
	bound := huber * math.Max(spread, 1e-9)
	for i, e := range residuals {
		weights[i] = math.Min(1, bound/math.Max(math.Abs(e), 1e-12))
	}
}
