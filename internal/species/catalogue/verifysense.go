package catalogue

import (
	"slices"

	"commensal/internal/species"
)

// typical is the typical value of a trait of the entry, where it is known.
func (e entryVerifier) typical(t species.Trait) (x float64, ok bool) {
	v := e.s.Traits[t]
	return v.Typical, v.Known()
}

// body checks the proportions and the lengths of the sexes.
func (e entryVerifier) body() {
	depth, ok := e.typical(species.DepthRatio)
	bounds, formKnown := depthBounds[e.s.BodyForm]
	if ok && formKnown && !bounds.Contains(depth) {
		e.review("trait depth_ratio", "%s is unusual for %s: %s to %s is expected", formatNumber(depth),
			e.s.BodyForm, formatNumber(bounds.Low), formatNumber(bounds.High))
	}
	for _, l := range traitSets(e.s) {
		if v := l.set[species.Length]; v.Known() && v.High >= lengthSpread*v.Low {
			e.fault(l.label+" length", "the highest is %s times the lowest or more", formatNumber(lengthSpread))
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
		e.review("trait length", "%s is far from %s, %s", formatNumber(all.Typical), of, formatNumber(want))
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
			e.fault("trait lifespan", "%s years, but at K = %s it takes %.3g to grow up", formatNumber(lifespan), formatNumber(k), grown)
		case lifespan > longestLife*grown:
			e.review("trait lifespan", "%s years, and at K = %s it is grown after %.3g", formatNumber(lifespan), formatNumber(k), grown)
		}
	}
	maturity, ok := e.typical(species.Maturity)
	if !ok {
		return
	}
	switch years := maturity / monthsPerYear; {
	case years >= lifespan:
		e.fault("trait maturity", "%s months is later than the lifespan of %s years", formatNumber(maturity), formatNumber(lifespan))
	case years > lateMaturity*lifespan:
		e.review("trait maturity", "%s months is late in a lifespan of %s years", formatNumber(maturity), formatNumber(lifespan))
	}
}

// mouth checks what it eats against what it can swallow.
func (e entryVerifier) mouth() {
	limit, ok := e.typical(species.PreyLimit)
	if !ok {
		return
	}
	if keen, ok := e.typical(species.Piscivory); ok && keen >= keenPiscivore && limit < keenPreyLimit {
		e.review("trait prey_limit", "%s is small for piscivory %s", formatNumber(limit), formatNumber(keen))
	}
	grazers := []species.Guild{species.AlgaeGrazer, species.Herbivore, species.Detritivore}
	if slices.Contains(grazers, e.s.Guild) && limit > grazerPreyLimit {
		e.review("trait prey_limit", "%s is large for %s", formatNumber(limit), e.s.Guild)
	}
}

// tank checks the customary tank against the fish and against itself.
func (e entryVerifier) tank() {
	length, ok := e.typical(species.TankLength)
	if !ok {
		return
	}
	width, ok := e.typical(species.TankWidth)
	if ok && width > length {
		e.fault("trait tank_width", "%s is more than the tank length of %s", formatNumber(width), formatNumber(length))
	}
	adult, ok := e.typical(species.Length)
	if !ok || adult <= 0 {
		return
	}
	activity, known := e.typical(species.Activity)
	switch n := length / adult; {
	case n < leastTankLengths:
		e.fault("trait tank_length", "%s is %.3g times the adult length; %s is the least for any fish", formatNumber(length), n, formatNumber(leastTankLengths))
	case n < tankLengths && known && activity > restingActivity:
		e.review("trait tank_length", "%s is %.3g times the adult length; a fish that swims needs %s", formatNumber(length), n, formatNumber(tankLengths))
	}
}
