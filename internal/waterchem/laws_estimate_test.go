package waterchem

import (
	"testing"

	"pgregory.net/rapid"
)

func drawEstimate(t *rapid.T) Estimate {
	low, high := two(t, "ends", 0.01, 1000)
	return Estimate{low, draw(t, "typical", low, high), high}
}

func inOrder(t *rapid.T, e Estimate) {
	t.Helper()
	rising(t, "low end", e.Low, e.Typical)
	rising(t, "high end", e.Typical, e.High)
}

func TestEstimatesStayInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawEstimate(t), drawEstimate(t)
		inOrder(t, a.Plus(b))
		inOrder(t, a.Times(b))
		inOrder(t, a.TimesIndependent(b))
		inOrder(t, a.Inverse())
		inOrder(t, a.Scale(draw(t, "factor", -5, 5)))
		inOrder(t, a.Power(draw(t, "exponent", 0.1, 4)))
	})
}

func TestIndependentErrorsAreNarrowerThanCommonOnesAndWiderThanEither(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawEstimate(t), drawEstimate(t)
		worst, likely := a.Times(b), a.TimesIndependent(b)
		same(t, "typical", worst.Typical, likely.Typical, 1e-12)
		rising(t, "low of the product", worst.Low, likely.Low)
		rising(t, "high of the product", likely.High, worst.High)
		rising(t, "low of a alone", likely.Low, a.Low*b.Typical)
		rising(t, "high of b alone", a.Typical*b.High, likely.High)
		same(t, "order", likely.High, b.TimesIndependent(a).High, 1e-12)
	})
}

func TestAnExactFactorOnlyScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e, k := drawEstimate(t), draw(t, "factor", 0.1, 10)
		got, want := e.TimesIndependent(Exact(k)), e.Scale(k)
		same(t, "low", got.Low, want.Low, 1e-9)
		same(t, "high", got.High, want.High, 1e-9)
	})
}

func TestInverseTwiceIsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := drawEstimate(t)
		twice := e.Inverse().Inverse()
		same(t, "low", twice.Low, e.Low, 1e-12)
		same(t, "high", twice.High, e.High, 1e-12)
	})
}

func TestAZeroLowEndFallsBackToTheWidestProduct(t *testing.T) {
	a, b := Estimate{0, 1, 2}, Estimate{1, 2, 3}
	if got, want := a.TimesIndependent(b), a.Times(b); got != want {
		t.Errorf("got %v, want %v", got, want)
	}
}
