package waterchem

import "math"

// WeightAt is the weight at an age in years (T0 to 500) of a fish whose weight
// approaches winf (1e-9 to 1e9, any unit: the result is in the same one) with the
// length-weight exponent b (1-5): WInf·(1 − e^(−K·(t−T0)))^b. It rises with age.
//
// Source: von Bertalanffy 1938 with W = a·L^b, as in the FishBase manual.
func (g Growth) WeightAt(years, winf, b float64) (float64, error) {
	err := firstError(
		within(Asymptote, winf, minWeight, maxWeight),
		within(Exponent, b, 1, 5),
	)
	if err != nil {
		return 0, err
	}
	grown, err := g.grownShare(years)
	if err != nil {
		return 0, err
	}
	return winf * math.Pow(grown, b), nil
}

// LongevityA95 is the age in years at which 95 % of the asymptotic length is
// reached, T0 + 2.996/K, a customary stand-in for the life span in the wild. It
// falls as K rises. Fish in good care often outlive it; where a life span
// is recorded, use that.
//
// Source: Taylor 1958 (J. Cons. int. Explor. Mer 23:366-370; from memory).
func (g Growth) LongevityA95() (float64, error) {
	if err := g.check(); err != nil {
		return 0, err
	}
	return g.T0 + 2.996/g.K, nil
}
