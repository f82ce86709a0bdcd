package answers

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Body is what a picture needs to know of an adult animal.
type Body struct {
	Kind     Kind
	Form     string  // body form, for example "fusiform" or "crab"
	Shape    string  // outline at a glance, for example "disc"
	LengthCM float64 // typical total length, or as told
	DepthCM  float64
	PreyCM   float64 // length up to which it swallows fish; 0 where it takes none
	GapeCM   float64 // body depth that fits its mouth; 0 where it takes none
	Zones    [species.NumZones]float64
}

// Zone is where it spends most of its time: 0 surface, 1 middle, 2 bottom.
func (b *Body) Zone() int {
	best := 1
	for z, share := range b.Zones {
		if share > b.Zones[best] {
			best = z
		}
	}
	return best
}

// usualDepth is the body depth as a share of the length where it is not on record.
const usualDepth = 0.25

// minAppetite is the readiness to take fish from which a picture shows how much fits.
const minAppetite = 0.05

func bodyOf(p *conflict.Profile) Body {
	sp := p.Species
	b := Body{Kind: kindOf(sp), Form: string(sp.BodyForm), Shape: sp.Shape, LengthCM: p.Length(), Zones: sp.Zones.Share}
	if p.Individual.LengthCM > 0 {
		b.LengthCM = p.Individual.LengthCM
	}
	b.DepthCM = b.LengthCM * typical(p, species.DepthRatio, usualDepth)
	if typical(p, species.Piscivory, 0) >= minAppetite {
		b.PreyCM = b.LengthCM * typical(p, species.PreyLimit, 0)
		b.GapeCM = b.LengthCM * typical(p, species.Gape, 0)
	}
	return b
}

func typical(p *conflict.Profile, t species.Trait, missing float64) float64 {
	if band, ok := p.Band(t); ok {
		return band.Typical
	}
	return missing
}
