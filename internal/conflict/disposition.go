package conflict

import "math"

// Disposition is how a keeper has seen a single fish behave, against its kind.
type Disposition int8

// The dispositions.
const (
	Calmer  Disposition = -1
	Typical Disposition = 0
	Fiercer Disposition = 1
)

// One animal proves little, and calm ones turn: an observed disposition moves the
// fish's own aggression by at most this factor, either way, reached only after long
// observation. Its size and mouth stay what they are, so the answer never falls
// below the level these alone give. Common practice, no source.
const (
	moodLimit  = 1.6
	moodMonths = 6.0 // months after which 63% of the limit counts
)

// mood is the factor on the fish's own aggression, between 1/moodLimit and moodLimit.
func (ind Individual) mood() float64 {
	if ind.Observed == Typical || !(ind.MonthsObserved > 0) {
		return 1
	}
	trust := -math.Expm1(-ind.MonthsObserved / moodMonths)
	return math.Exp(float64(ind.Observed) * trust * math.Log(moodLimit))
}
