package conflict

import (
	"math"

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

// territories is how many separate territories the line claims.
func (r reader) territories() float64 {
	n := float64(r.ind.Count)
	if n <= 0 {
		n = r.typical(species.GroupMin)
	}
	switch r.sp.Social {
	case species.Pair:
		return math.Ceil(n / 2)
	case species.Harem:
		if v := r.sp.Trait(species.FemalesPerMale, keptAs(r.sp, r.ind)); v.Known() {
			return math.Ceil(n / (1 + v.Typical))
		}
		return math.Ceil(n / 3)
	case species.Group, species.Colony:
		// A shoal roams as one; its ground grows with the head count.
		return max(1, n/max(1, r.typical(species.GroupMin)))
	}
	return n
}

// shortfall is the share of the smallest defensible group that is missing.
func (r reader) shortfall() float64 {
	if r.ind.Count <= 0 || (r.sp.Social != species.Group && r.sp.Social != species.Colony) {
		return 0
	}
	fewest := r.at(species.GroupMin, keptAs(r.sp, r.ind), kinder)
	return clamp((fewest-float64(r.ind.Count))/fewest, 0, 1)
}
