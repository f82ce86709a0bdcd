package verify

import (
	"math"
	"slices"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// typical is the typical value of a trait of the entry, where it is known.
func (e entryVerifier) typical(t species.Trait) (x float64, ok bool) {
	v := e.s.Traits[t]
	return v.Typical, v.Known()
}

// isFish reports whether the entry has the form of a fish: what holds for fish need
// not hold for other animals.
func (e entryVerifier) isFish() bool { return slices.Contains(fishForms, e.s.BodyForm) }

// fishForms are the body forms of fish.
var fishForms = []species.BodyForm{species.EelLike, species.Elongated, species.Fusiform, species.ShortDeep}

// body checks the proportions and the lengths of the sexes.
func (e entryVerifier) body() {
	depth, ok := e.typical(species.DepthRatio)
	bounds, formKnown := depthBounds[e.s.BodyForm]
	if ok && formKnown && !bounds.Contains(depth) {
		e.review("trait depth_ratio", "%s is unusual for %s: %s to %s is expected", entry.FormatNumber(depth),
			e.s.BodyForm, entry.FormatNumber(bounds.Low), entry.FormatNumber(bounds.High))
	}
	for _, l := range traitSets(e.s) {
		if v := l.set[species.Length]; v.Known() && v.High >= lengthSpread*v.Low {
			e.fault(l.label+" length", "the highest is %s times the lowest or more", entry.FormatNumber(lengthSpread))
		}
	}
	e.lengthOfSexes()
}

// lengthOfSexes compares the sexes with the entry: with their mean where both are
// sold, with the one sold where only one is.
func (e entryVerifier) lengthOfSexes() {
	male, female, all := e.s.MaleTraits[species.Length], e.s.FemaleTraits[species.Length], e.s.Traits[species.Length]
	if !male.Known() || !female.Known() || !all.Known() {
		return
	}
	want, of := (male.Typical+female.Typical)/2, "the mean of the sexes"
	switch e.s.SoldAs {
	case species.Male:
		want, of = male.Typical, "the males sold"
	case species.Female:
		want, of = female.Typical, "the females sold"
	}
	if off := want/all.Typical - 1; off < -sexMeanShare || off > sexMeanShare {
		e.review("trait length", "%s is far from %s, %s", entry.FormatNumber(all.Typical), of, entry.FormatNumber(want))
	}
}

// life checks growth, age and maturity against each other.
func (e entryVerifier) life() {
	lifespan, ok := e.typical(species.Lifespan)
	if !ok {
		return
	}
	if k, ok := e.typical(species.GrowthK); ok && k > 0 {
		switch grown := longevityNumerator / k; {
		case lifespan < shortestLife*grown:
			e.fault("trait lifespan", "%s years, but at K = %s it takes %.3g to grow up", entry.FormatNumber(lifespan), entry.FormatNumber(k), grown)
			return
		case lifespan < stuntedLife*grown:
			e.review("trait lifespan", "%s years, but at K = %s it takes %.3g to grow up", entry.FormatNumber(lifespan), entry.FormatNumber(k), grown)
		case lifespan > longestLife*grown:
			e.review("trait lifespan", "%s years, and at K = %s it is grown after %.3g", entry.FormatNumber(lifespan), entry.FormatNumber(k), grown)
		}
	}
	maturity, ok := e.typical(species.Maturity)
	if !ok {
		return
	}
	years := maturity / monthsPerYear
	switch {
	case years >= lifespan:
		e.fault("trait maturity", "%s months is later than the lifespan of %s years", entry.FormatNumber(maturity), entry.FormatNumber(lifespan))
	case years > lateMaturity*lifespan:
		e.review("trait maturity", "%s months is late in a lifespan of %s years", entry.FormatNumber(maturity), entry.FormatNumber(lifespan))
	}
	if k, ok := e.typical(species.GrowthK); ok && e.isFish() && years < lifespan {
		share := 1 - math.Exp(-k*years)
		if share < leastMatureShare || share > mostMatureShare {
			e.review("trait maturity", "%s months at K = %s is at %.2g of its final length: %s to %s is expected", entry.FormatNumber(maturity),
				entry.FormatNumber(k), share, entry.FormatNumber(leastMatureShare), entry.FormatNumber(mostMatureShare))
		}
	}
}
