package conflict

import "commensal/internal/species"

// InNumbers is the profile of the same fish as a line of count, of company fish of its
// kind in the tank, the line included: a shoal listed in several lines (by sex or
// size) counts as one shoal, and each line has its share of the ground. With
// company equal to count it is the profile that [Model.Profile] makes for the count.
// Both must be at least 1 and count ≤ company.
func (p *Profile) InNumbers(count, company int) *Profile {
	q := *p
	q.Individual.Count = count
	whole := reader{sp: p.Species, ind: q.Individual}
	whole.ind.Count = company
	q.shortfall = whole.shortfall()
	q.territories = whole.territories()
	if company != count {
		q.territories *= float64(count) / float64(company)
	}
	return &q
}

// Band is the trait's low-typical-high for the line's sex, or the species' own where
// it has none; ok is false where the catalogue lacks it.
func (p *Profile) Band(t species.Trait) (band species.Band, ok bool) {
	v := p.Species.Trait(t, keptAs(p.Species, p.Individual))
	return v.Band, v.Known()
}
