package conflict

import (
	"math"

	"commensal/internal/species"
)

// Breeding: guarding parents and hybrids. Common practice, no source.
const (
	// guardPower is the exponent on the grade of brood guarding: half-hearted parents
	// threaten, fierce ones batter.
	guardPower = 2.0
	// How many of the young of a crossing come up in an ordinary tank where nobody helps:
	// those born or hatched complete do, those of parents that guard them or carry them in the
	// mouth in part, and eggs left to chance are eaten.
	careSaves   = 0.6
	chanceSaves = 0.25
	// guardsYoung is the grade of brood guarding from which parents save a part.
	guardsYoung = 0.3
)

// The statements about breeding.
const (
	BreedingNone   Code = "breeding.none"
	BreedingHybrid Code = "breeding.hybrid"
	BreedingGuards Code = "breeding.guards"
	BreedingSlight Code = "breeding.slight"
	BreedingRatio  Code = "breeding.ratio"
)

// SummaryHybridisation and SummaryGuards are the summaries of breeding.
const (
	SummaryHybridisation Code = "summary.hybridisation"
	SummaryGuards        Code = "summary.guards"
)

// breedingWeights are the fitted numbers of this factor.
var breedingWeights = []WeightSpec{
	{"brood_guarding", "hazard of a fierce parent for a defenceless neighbour", 0.2, 0.02, 2, func(w *Weights) *float64 { return &w.BroodGuarding }},
	{"hybrid_crossing", "hazard of two species that cross and whose young come up, just moderate by itself", 0.3, 0.29, 0.35, func(w *Weights) *float64 { return &w.HybridCrossing }},
}

// hybridHazard is the hazard of young that are neither one kind nor the other.
func (m *Model) hybridHazard(a, b *species.Species) float64 {
	return m.w.HybridCrossing * min(saved(a), saved(b))
}

// saved is the share of a kind's young that comes up.
func saved(sp *species.Species) float64 {
	switch {
	case sp.Shape == "livebearer", sp.BodyForm.Crustacean():
		return 1
	case sp.Family == "Cichlidae", sp.Traits[species.BroodGuarding].Typical >= guardsYoung:
		return careSaves
	}
	return chanceSaves
}

// breeding states hybrids and guarding parents.
func (x *explainer) breeding() Statement {
	d := heavier(x.t.guard)
	parent, other := x.side(d)
	guards := risk(x.t.guard[d] * x.t.zone * x.t.room)
	switch {
	case x.t.hybrid > 0:
		return Statement{Code: BreedingHybrid, Actor: x.a.Species, Other: x.b.Species}
	case !x.sameKind() && risk((x.t.guard[0]+x.t.guard[1])*x.t.zone*x.t.room) >= possibleRisk/5:
		return Statement{Code: pick(guards >= possibleRisk/2, BreedingGuards, BreedingSlight), Actor: parent.Species, Other: other.Species, Evidence: []Evidence{
			{"brood_guarding", parent.read(species.BroodGuarding), "grade"}}}
	case x.sameKind() && x.a.Species.Traits[species.FemalesPerMale].Known():
		return Statement{Code: BreedingRatio, Actor: x.a.Species, Other: x.b.Species, Evidence: []Evidence{
			{"females_per_male", math.Round(x.a.Species.Traits[species.FemalesPerMale].Typical*10) / 10, "ratio"}}}
	}
	return Statement{Code: BreedingNone, Actor: x.a.Species, Other: x.b.Species}
}
