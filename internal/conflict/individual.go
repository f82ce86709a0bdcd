package conflict

import (
	"math"

	"commensal/internal/species"
)

// Individual is what is known about the fish themselves. The zero Individual is a
// customary group of adults.
type Individual struct {
	Count    int         // fish in the line; 0 for the customary group
	Sex      species.Sex // Unsexed for not told
	LengthCM float64     // present total length in cm; 0 for adult
	// Observed is the keeper's own experience of these very fish, over so many months.
	Observed       Disposition
	MonthsObserved float64
	// Youth is set for fish that are not yet adult.
	Youth Youth
}

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

// Youth describes fish that are still growing: what [Individual] says of the fish as
// they are on one day of their youth. The zero Youth is an adult.
//
// A young fish keeps its habits of feeding, nipping and fleeing; what comes with
// maturity is the rest: aggression to others, to look-alikes and to its own kind, the
// guarding of broods, and the ground it defends, all of which are scaled by the share
// that has come. Ground never falls below the space that its body needs. Common
// practice, no source.
type Youth struct {
	// LengthCM is the length in cm on that day by sex: of a fish whose sex nobody told, a
	// male and a female; 0 for adult length. It gives way to Individual.LengthCM.
	LengthCM [3]float64
	// Unripe is the share of adult temper that has not come yet: 0 for an adult,
	// at most 1. Values outside count as the nearest end.
	Unripe float64
}

// ripe is the share of adult temper that has come, 0 to 1.
func (y Youth) ripe() float64 { return clamp(1-y.Unripe, 0, 1) }

// length is the length that is told for a sex, or 0 for adult length.
func (ind Individual) length(sex species.Sex) float64 {
	if ind.LengthCM > 0 {
		return ind.LengthCM
	}
	return ind.Youth.LengthCM[sex]
}
