package evidence

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Confidence is the probability that an interval holds.
const Confidence = 0.95

// Z95 is the standard normal quantile of 0.975, which cuts off what [Confidence] leaves.
const Z95 = 1.959963984540054

// beta is a Beta distribution.
type beta struct{ a, b float64 }

func (d beta) mean() float64 { return d.a / (d.a + d.b) }

// quantile is the value that the variable does not exceed with probability p.
func (d beta) quantile(p float64) float64 { return mathext.InvRegIncBeta(d.a, d.b, p) }

// interval cuts off as much at either end.
func (d beta) interval() (low, high float64) {
	const tail = (1 - Confidence) / 2
	return d.quantile(tail), d.quantile(1 - tail)
}

// Wilson is the score interval of a proportion of x in n at z standard errors (Wilson
// 1927, J. Am. Stat. Assoc. 22:209-212). Neither need be whole; n is above 0.
func Wilson(x, n, z float64) (low, high float64) {
	p, zz := x/n, z*z
	centre := p + zz/(2*n)
	reach := z * math.Sqrt(max(p*(1-p)/n+zz/(4*n*n), 0))
	scale := 1 + zz/n
	return max((centre-reach)/scale, 0), min((centre+reach)/scale, 1)
}

// Jeffreys is the belief in a proportion of x in n with no model at hand: the posterior of
// a Beta(½, ½) prior, at [Confidence] (Brown, Cai & DasGupta 2001, Stat. Sci. 16:101-133,
// without their correction at x = 0 and x = n).
func Jeffreys(x, n float64) Belief {
	b := beta{x + 0.5, n - x + 0.5}
	low, high := b.interval()
	return Belief{b.mean(), low, high}
}
