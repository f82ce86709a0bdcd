package conflict

import (
	"math"

	"commensal/internal/species"
)

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

// GroundAs is what [Profile.Ground] would be if the same fish were young so.
func (p *Profile) GroundAs(y Youth) float64 {
	ind := p.Individual
	ind.LengthCM, ind.Youth = 0, y
	return p.territories * reader{sp: p.Species, ind: ind}.ground(typical)
}

// ground is the floor in cm² of one territory, at least the space that a body needs.
func (r reader) ground(e end) float64 {
	radius := max(r.ind.Youth.ripe()*r.largest(species.Territory, e), personalSpace*r.largest(species.Length, e))
	return math.Pi * radius * radius
}

// length is the length that is told for a sex, or 0 for adult length.
func (ind Individual) length(sex species.Sex) float64 {
	if ind.LengthCM > 0 {
		return ind.LengthCM
	}
	return ind.Youth.LengthCM[sex]
}
