package verify

import (
	"math"
	"slices"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// company checks the way of living against the group and the territory.
func (e entryVerifier) company() {
	group, ok := e.typical(species.GroupMin)
	switch {
	case !ok:
	case e.s.Social == species.Group && group < leastShoal:
		e.fault("trait group_min", "%s is no group", entry.FormatNumber(group))
	case e.s.Social == species.Solitary && group > 1:
		e.fault("trait group_min", "%s of a fish that does not share its tank with its own kind", entry.FormatNumber(group))
	case e.s.Social == species.Pair && group > largestPair, e.s.Social == species.Harem && group < 2:
		e.review("trait group_min", "%s does not go with %s", entry.FormatNumber(group), e.s.Social)
	}
	guards, _ := e.typical(species.BroodGuarding)
	if ground, ok := e.typical(species.Territory); ok && e.s.Social == species.Group && ground > shoalTerritory && guards < shoalGuarding {
		e.review("trait territory", "%s cm is much for a fish that lives in a group", entry.FormatNumber(ground))
	}
}

// sexRatio checks that what speaks of males and females goes together.
func (e entryVerifier) sexRatio() {
	s := e.s
	v := s.Traits[species.FemalesPerMale]
	ratio := v.Known() && !(s.Social == species.Pair && v.Typical == 1) // which is what a pair is
	tellsApart := s.SexedTrade || s.MaleTraits != species.TraitSet{} || s.FemaleTraits != species.TraitSet{}
	switch {
	case ratio && s.Social == species.Solitary:
		e.review("trait females_per_male", "of a fish that does not share its tank with its own kind")
	case ratio && !tellsApart:
		e.review("trait females_per_male", "nothing tells the sexes apart: they are not sexed in the trade and have no trait of their own")
	case s.Social == species.Harem && !ratio:
		e.review("trait females_per_male", "missing for a harem")
	}
	if s.SoldAs != species.Unsexed && !s.SexedTrade {
		e.review("sold_as", "one sex is sold, but the sexes are not told apart in the trade")
	}
	male, female := s.Trait(species.LongFins, species.Male), s.Trait(species.LongFins, species.Female)
	if male.Known() && female.Known() && male.Typical < female.Typical {
		e.review("male long_fins", "%s, and the females %s: males have the longer fins", entry.FormatNumber(male.Typical), entry.FormatNumber(female.Typical))
	}
}

// levels checks where it feeds against where it stays.
func (e entryVerifier) levels() {
	if !e.s.Zones.Known() || !e.s.FeedingZones.Known() {
		return
	}
	stays, feeds := e.s.Zones.Share, e.s.FeedingZones.Share
	switch overlap := zoneOverlap(stays, feeds); {
	case feeds[species.Surface] >= feedsAbove && stays[species.Bottom] >= restsBelow:
		e.review("zones", "it feeds at the surface but stays at the bottom")
	case feeds[species.Bottom] >= feedsAbove && stays[species.Surface] >= restsBelow:
		e.review("zones", "it feeds at the bottom but stays at the surface")
	case overlap < leastZoneOverlap:
		e.review("feeding_zones", "only %.0f %% of its feeding is where it stays", 100*overlap)
	}
}

// zoneOverlap is Schoener's overlap of two uses of the zones, 0 to 1.
func zoneOverlap(a, b [species.NumZones]float64) float64 {
	apart := 0.0
	for i := range a {
		apart += math.Abs(a[i] - b[i])
	}
	return 1 - apart/2
}

// cautions checks what is said aloud against the numbers behind it.
func (e entryVerifier) cautions() {
	e.agree("cautions", slices.Contains(e.s.Cautions, species.Tankbuster), species.Tankbuster, species.Length, "cm", outgrowsFrom, outgrowsAlways)
	life, ok := e.typical(species.Lifespan)
	short := slices.Contains(e.s.Cautions, species.ShortLived)
	if ok && (short && life > shortLife || !short && life < briefLife) {
		e.review("cautions", "%s and a lifespan of %s years: one of the two is wrong", saidOrNot(short, species.ShortLived), entry.FormatNumber(life))
	}
	if armour, ok := e.typical(species.Armour); ok && slices.Contains(e.s.Cautions, species.SharpSpines) && armour < nearSpines {
		e.review("trait armour", "%s with sharp_spines, which protect it", entry.FormatNumber(armour))
	}
}

// agree checks a caution against a trait: said only from low on, and always above high.
func (e entryVerifier) agree(field string, said bool, word species.Caution, t species.Trait, unit string, low, high float64) {
	x, ok := e.typical(t)
	if ok && (said && x < low || !said && x >= high) {
		e.review(field, "%s and a %s of %s %s: one of the two is wrong", saidOrNot(said, word), t, entry.FormatNumber(x), unit)
	}
}

func saidOrNot(said bool, word species.Caution) string {
	if said {
		return string(word)
	}
	return "no " + string(word)
}
