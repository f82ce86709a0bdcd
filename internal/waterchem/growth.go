package waterchem

import (
	"fmt"
	"math"
)

// Growth is a von Bertalanffy growth curve, L(t) = LInf·(1 − e^(−K·(t−T0))). LInf is
// the length an average fish approaches and never reaches (1e-3 to 1e5, any unit:
// results are in the same one), K how fast it does so (0.001-50 per year), T0 the
// age in years at which the curve starts from length zero (-50 to 50, usually a
// little below zero).
//
// K varies much within a species: four published populations of one carp span 0.04
// to 0.63. Curves fitted to young fish only may put LInf far too high.
//
// Source: von Bertalanffy 1938, in the form of the FishBase manual, POPGROWTH table.
type Growth struct {
	LInf, K, T0 float64
}

// NotReachedError says that a length is at or beyond the asymptote of a growth
// curve, so that no age belongs to it. Both are in the unit of the curve.
type NotReachedError struct {
	Length, Asymptote float64
}

// Error describes the length and the asymptote.
func (e *NotReachedError) Error() string {
	return fmt.Sprintf("length %g is never reached: the growth curve approaches %g", e.Length, e.Asymptote)
}

// The oldest age, and the longest span, in years that the growth relations accept.
const maxAge = 500.0

// The greatest length, in the unit of the curve, that the growth relations accept.
const maxFishLength = 1e6

// LengthAt is the length at an age in years, from T0 to 500. It rises with age
// and stays below LInf but for rounding.
func (g Growth) LengthAt(years float64) (float64, error) {
	grown, err := g.grownShare(years)
	if err != nil {
		return 0, err
	}
	return g.LInf * grown, nil
}

// grownShare is the share of the asymptotic length reached at an age in years.
func (g Growth) grownShare(years float64) (float64, error) {
	if err := g.check(); err != nil {
		return 0, err
	}
	if err := within(Age, years, g.T0, maxAge); err != nil {
		return 0, err
	}
	return -math.Expm1(-g.K * (years - g.T0)), nil
}

// AgeAt is the age in years at which a length (0 or more) is reached, the inverse of
// [Growth.LengthAt]. It rises with length. A length at or beyond LInf gives a
// *NotReachedError.
func (g Growth) AgeAt(length float64) (float64, error) {
	years, err := g.TimeBetween(0, length)
	if err != nil {
		return 0, err
	}
	return g.T0 + years, nil
}

// TimeBetween is the time in years from one length to another, 0 ≤ from ≤ to. It
// rises with to and falls with from; T0 does not matter. A length to that is at or
// beyond LInf gives a *NotReachedError.
func (g Growth) TimeBetween(from, to float64) (float64, error) {
	err := firstError(
		g.check(),
		within(FishLength, to, 0, maxFishLength),
		within(FishLength, from, 0, to),
	)
	if err != nil {
		return 0, err
	}
	if to >= g.LInf {
		return 0, &NotReachedError{Length: to, Asymptote: g.LInf}
	}
	return math.Log1p((to-from)/(g.LInf-to)) / g.K, nil
}

// LengthAfter is the length after a span of 0-500 years of a fish that has the length
// from now: LInf − (LInf − from)·e^(−K·span). It rises with both. A fish already at
// or beyond LInf is larger than average; fish do not shrink, so its length is
// returned as it is.
//
// Source: the same curve, started at the present length.
func (g Growth) LengthAfter(from, span float64) (float64, error) {
	err := firstError(
		g.check(),
		within(FishLength, from, 0, maxFishLength),
		within(Span, span, 0, maxAge),
	)
	if err != nil {
		return 0, err
	}
	if from >= g.LInf {
		return from, nil
	}
	return from + (g.LInf-from)*-math.Expm1(-g.K*span), nil
}

func (g Growth) check() error {
	return firstError(
		within(Asymptote, g.LInf, 1e-3, 1e5),
		within(GrowthRate, g.K, 1e-3, 50),
		within(AgeAtZero, g.T0, -50, 50),
	)
}
