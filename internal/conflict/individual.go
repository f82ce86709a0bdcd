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

// keptAs is the sex whose values stand for the line as a whole.
func keptAs(sp *species.Species, ind Individual) species.Sex {
	if ind.Sex != species.Unsexed {
		return ind.Sex
	}
	return sp.SoldAs
}

// reader reads trait bands for a line of fish: over both sexes unless one is told
// or customarily sold alone.
type reader struct {
	sp  *species.Species
	ind Individual
}

// at is the trait's value for one sex at one end, its unknown band when absent.
func (r reader) at(t species.Trait, sex species.Sex, e end) float64 {
	if t == species.Length {
		if cm := r.ind.length(sex); cm > 0 {
			return cm
		}
	}
	band := unknownBand[t]
	if v := r.sp.Trait(t, sex); v.Known() {
		band = v.Band
	}
	return [numEnds]float64{band.Low, band.Typical, band.High}[e]
}

func (r reader) typical(t species.Trait) float64 { return r.kept(t, typical) }

func (r reader) kept(t species.Trait, e end) float64 {
	return r.at(t, keptAs(r.sp, r.ind), e)
}

// largest is the trait's value in the sex that has more of it.
func (r reader) largest(t species.Trait, e end) float64 {
	if sex := keptAs(r.sp, r.ind); sex != species.Unsexed {
		return r.at(t, sex, e)
	}
	return max(r.at(t, species.Unsexed, e), r.at(t, species.Male, e), r.at(t, species.Female, e))
}

// smallest is the trait's value in the sex that has less of it.
func (r reader) smallest(t species.Trait, e end) float64 {
	if sex := keptAs(r.sp, r.ind); sex != species.Unsexed {
		return r.at(t, sex, e)
	}
	return min(r.at(t, species.Unsexed, e), r.at(t, species.Male, e), r.at(t, species.Female, e))
}

// shortfall is the share of the smallest defensible group that is missing.
func (r reader) shortfall() float64 {
	if r.ind.Count <= 0 || (r.sp.Social != species.Group && r.sp.Social != species.Colony) {
		return 0
	}
	fewest := r.at(species.GroupMin, keptAs(r.sp, r.ind), kinder)
	return clamp((fewest-float64(r.ind.Count))/fewest, 0, 1)
}

// claws is the grade of the line's claws; what has no value has no claws.
func (r reader) claws(e end) float64 {
	v := r.sp.Trait(species.Claws, keptAs(r.sp, r.ind))
	return [numEnds]float64{v.Low, v.Typical, v.High}[e]
}

// unknownBand stands in for a trait that the catalogue lacks: low and high are
// the whole plausible range, so that the extremes of the answer widen; the middle is
// an ordinary aquarium fish. Every trait so treated is named in the answer
// ([Profile.Missing]). Common practice, no source.
var unknownBand = [species.NumTraits]species.Band{
	species.Length:           {Low: 2, Typical: 8, High: 40},
	species.DepthRatio:       {Low: 0.1, Typical: 0.28, High: 0.6},
	species.Gape:             {Low: 0.03, Typical: 0.07, High: 0.2},
	species.PreyLimit:        {Low: 0.08, Typical: 0.2, High: 0.5},
	species.Piscivory:        {Low: 0, Typical: 0.3, High: 1},
	species.AggressionOthers: {Low: 0, Typical: 0.25, High: 1},
	species.AggressionOwn:    {Low: 0, Typical: 0.3, High: 1},
	species.AggressionAlike:  {Low: 0, Typical: 0.25, High: 1},
	species.Territory:        {Low: 0, Typical: 15, High: 80},
	species.FinNipping:       {Low: 0, Typical: 0.1, High: 0.8},
	species.Timidity:         {Low: 0, Typical: 0.35, High: 0.9},
	species.LongFins:         {Low: 0, Typical: 0.15, High: 0.9},
	species.Slowness:         {Low: 0, Typical: 0.25, High: 0.9},
	species.Armour:           {Low: 0, Typical: 0.1, High: 0.8},
	species.GroupMin:         {Low: 1, Typical: 1, High: 6},
	species.BroodGuarding:    {Low: 0, Typical: 0.2, High: 1},
	species.TankLength:       {Low: 60, Typical: 80, High: 200},
	species.TankWidth:        {Low: 30, Typical: 35, High: 60},
	species.FeedingPace:      {Low: 0.1, Typical: 0.5, High: 0.9},
	species.AnimalFood:       {Low: 0.1, Typical: 0.6, High: 1},
	species.Activity:         {Low: 0.1, Typical: 0.45, High: 0.9},
	// Claws: what has none has no value.
}

// scored are the traits that the model reads, in the order in which missing ones
// are named.
var scored = []species.Trait{
	species.Length, species.DepthRatio, species.Gape, species.PreyLimit, species.Piscivory,
	species.AggressionOthers, species.AggressionOwn, species.AggressionAlike, species.Territory,
	species.FinNipping, species.Timidity, species.LongFins, species.Slowness, species.Armour,
	species.GroupMin, species.BroodGuarding, species.TankLength, species.TankWidth,
	species.FeedingPace, species.AnimalFood, species.Activity,
}
