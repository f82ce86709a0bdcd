package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/waterchem"
)

const (
	// longYears is the life span from which the commitment is said aloud.
	longYears = 10.0
	// growthSlack is the share by which a length may lie outside the growth band
	// before age and length are called contradictory: fish grow as they are fed.
	growthSlack = 0.2
	// hatchlingCM is added to the longest length at an age: the curve starts from
	// nothing, fish do not. Both common practice, no source.
	hatchlingCM = 1.0

	monthsPerYear = 12
)

// growth looks at the length and age that were given. A length above the longest on
// record is named and computed with as given.
func (f *finder) growth(i int) {
	r := &f.Lines[i]
	adult, ok := r.adultLength()
	if !ok || r.LengthCM <= 0 {
		return
	}
	given := conflict.Evidence{Name: "length", Value: r.LengthCM, Unit: "cm"}
	if r.LengthCM > adult.High {
		remedy := f.NewChange(CorrectLength, i, given, conflict.Evidence{Name: "longest", Value: adult.High, Unit: "cm"})
		remedy.From, remedy.To = r.LengthCM, adult.High
		f.add(Advice, LongerThanRecorded, []int{i}, remedy, given,
			conflict.Evidence{Name: "longest", Value: adult.High, Unit: "cm"})
		return
	}
	k, ok := r.Band(species.GrowthK)
	if !ok || r.AgeMonth <= 0 {
		return
	}
	years := r.AgeMonth / monthsPerYear
	shortest, errLow := waterchem.Growth{LInf: adult.Low, K: k.Low}.LengthAt(years)
	longest, errHigh := waterchem.Growth{LInf: adult.High, K: k.High}.LengthAt(years)
	if errLow != nil || errHigh != nil {
		return
	}
	if r.LengthCM < shortest*(1-growthSlack) || r.LengthCM > longest*(1+growthSlack)+hatchlingCM {
		f.add(Advice, AgeAgainstLength, []int{i}, nil, given,
			conflict.Evidence{Name: "age", Value: r.AgeMonth, Unit: "month"},
			conflict.Evidence{Name: "shortest", Value: shortest, Unit: "cm"},
			conflict.Evidence{Name: "longest", Value: longest, Unit: "cm"})
	}
}

// adultLength is the adult length of the line's sex, over both sexes where it is not told.
func (r *Resident) adultLength() (species.Band, bool) {
	b, ok := r.Band(species.Length)
	if !ok || keptSex(r.Species, r.Sex) != species.Unsexed {
		return b, ok
	}
	for _, v := range [...]species.Value{r.Species.MaleTraits[species.Length], r.Species.FemaleTraits[species.Length]} {
		if v.Known() {
			b.Low, b.High = min(b.Low, v.Low), max(b.High, v.High)
		}
	}
	return b, true
}

// commitment says aloud how long a long-lived species lives.
func (f *finder) commitment(first int) {
	life, ok := f.Lines[first].Band(species.Lifespan)
	if ok && life.Typical >= longYears {
		f.add(Note, LongCommitment, f.kindLines(first), nil,
			conflict.Evidence{Name: "years", Value: life.Typical, Unit: "year"},
			conflict.Evidence{Name: "years_high", Value: life.High, Unit: "year"})
	}
}
