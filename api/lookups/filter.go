package lookups

import (
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// passes reports whether a species is what the filter asks for. Where the catalogue
// does not know, it is not: a filter promises.
func (f *filter) passes(sp *species.Species) bool {
	return (f.family == "" || strings.EqualFold(f.family, sp.Family)) &&
		(f.zone == "" || is(mainZone(sp), f.zone)) &&
		(f.temperament == "" || is(temperamentOf(sp), f.temperament)) &&
		tolerates(sp, species.Temperature, f.temperature) &&
		tolerates(sp, species.PH, f.ph) &&
		staysWithin(sp, f.maxLength)
}

func is[T comparable](value *T, want T) bool { return value != nil && *value == want }

func tolerates(sp *species.Species, p species.Parameter, r conflict.Reading) bool {
	return !r.Known || sp.Water[p].Known() && sp.Water[p].Tolerated.Contains(r.Value)
}

// staysWithin compares the long end of the longer sex.
func staysWithin(sp *species.Species, r conflict.Reading) bool {
	if !r.Known {
		return true
	}
	v, known := greatest(sp, species.Length)
	return known && v.High <= r.Value
}

// greatest is a trait's value in the sex that has most of it, or in the one that is
// customarily sold.
func greatest(sp *species.Species, t species.Trait) (species.Value, bool) {
	if sp.SoldAs != species.Unsexed {
		v := sp.Trait(t, sp.SoldAs)
		return v, v.Known()
	}
	best := sp.Traits[t]
	for _, v := range []species.Value{sp.MaleTraits[t], sp.FemaleTraits[t]} {
		if v.Known() && (!best.Known() || v.Typical > best.Typical) {
			best = v
		}
	}
	return best, best.Known()
}

// mainZone is the level at which a species spends most of its time, or nil.
func mainZone(sp *species.Species) *gen.Zone {
	if !sp.Zones.Known() {
		return nil
	}
	best := species.Surface
	for z := range species.Zone(species.NumZones) {
		if sp.Zones.Share[z] > sp.Zones.Share[best] {
			best = z
		}
	}
	zone := gen.Zone(best.String())
	return &zone
}

// temperamentOf is the word for a species' manners towards other kinds, or nil.
func temperamentOf(sp *species.Species) *gen.Temperament {
	v, known := greatest(sp, species.AggressionOthers)
	if !known {
		return nil
	}
	word := gen.Temperament(conflict.AggressionWord(v.Typical))
	return &word
}

func speciesPageWire(snap *species.Snapshot, list []found, p respond.Page) gen.SpeciesPage {
	out := gen.SpeciesPage{Species: []gen.SpeciesSummary{}, Next: p.Next, CatalogueRevision: snap.Revision()}
	for _, e := range list {
		sp := e.species
		s := gen.SpeciesSummary{Id: string(sp.ID), ScientificName: sp.ScientificName, VernacularName: sp.VernacularName("en"),
			Family: sp.Family, Zone: mainZone(sp), Temperament: temperamentOf(sp), Matched: wire.Optional(e.matched)}
		if v, known := greatest(sp, species.Length); known {
			s.LengthCm = &v.Typical
		}
		out.Species = append(out.Species, s)
	}
	return out
}
