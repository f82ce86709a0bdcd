package conflict

import (
	"commensal/internal/species"
)

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
