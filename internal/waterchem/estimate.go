package waterchem

import "math"

// Estimate is a value with its spread: a low end, a typical value and a high end in
// the same unit, with Low ≤ Typical ≤ High. What the ends stand for (a 95 % interval,
// the range of measurements) is said where the estimate comes from.
type Estimate struct{ Low, Typical, High float64 }

// Exact is an estimate without spread.
func Exact(v float64) Estimate { return Estimate{v, v, v} }

// Contains reports whether v lies in the closed range Low to High.
func (e Estimate) Contains(v float64) bool { return e.Low <= v && v <= e.High }

// Scale multiplies the estimate by k; a negative k swaps the ends.
func (e Estimate) Scale(k float64) Estimate {
	if k < 0 {
		return Estimate{e.High * k, e.Typical * k, e.Low * k}
	}
	return Estimate{e.Low * k, e.Typical * k, e.High * k}
}

// Plus adds two estimates end to end, as if both were wrong in the same direction:
// the widest sum, right for errors with a common cause.
func (e Estimate) Plus(o Estimate) Estimate {
	return Estimate{e.Low + o.Low, e.Typical + o.Typical, e.High + o.High}
}

// Times multiplies two estimates of non-negative values end by end, as if both
// were wrong in the same direction: the widest product.
func (e Estimate) Times(o Estimate) Estimate {
	return Estimate{e.Low * o.Low, e.Typical * o.Typical, e.High * o.High}
}

// TimesIndependent multiplies two estimates of positive values whose errors have
// nothing to do with each other: the typical values multiply, and the relative
// spreads (logarithms of high/typical and of typical/low) add as squares, the usual
// propagation of independent errors. The result is never wider than [Estimate.Times]
// and never narrower than either part. When a low end is not positive the
// logarithms do not exist and the result is that of Times.
func (e Estimate) TimesIndependent(o Estimate) Estimate {
	if !(e.Low > 0 && o.Low > 0) {
		return e.Times(o)
	}
	mid := e.Typical * o.Typical
	down := math.Hypot(math.Log(e.Typical/e.Low), math.Log(o.Typical/o.Low))
	up := math.Hypot(math.Log(e.High/e.Typical), math.Log(o.High/o.Typical))
	return Estimate{mid * math.Exp(-down), mid, mid * math.Exp(up)}
}

// Inverse is the estimate of 1/v for a positive v: the ends change places. The
// inverse of a low end of zero is an infinite high end.
func (e Estimate) Inverse() Estimate {
	return Estimate{1 / e.High, 1 / e.Typical, 1 / e.Low}
}

// Power raises an estimate of a non-negative value to a positive exponent.
func (e Estimate) Power(exponent float64) Estimate {
	return Estimate{
		math.Pow(e.Low, exponent), math.Pow(e.Typical, exponent), math.Pow(e.High, exponent),
	}
}

// check returns a *DomainError when an end is out of range or the three values are
// out of order; for the order the quantity is [TypicalValue] and the range its ends.
func (e Estimate) check(q Quantity, lowest, highest float64) error {
	return firstError(
		within(q, e.Low, lowest, highest),
		within(q, e.High, lowest, highest),
		within(TypicalValue, e.Typical, e.Low, e.High),
	)
}
