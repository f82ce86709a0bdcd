package lookups

import (
	"slices"
	"strings"

	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// SpeciesEntry is everything known about a species.
func SpeciesEntry(revision int64, sources []species.Source, sp *species.Species) gen.Species {
	genus, _, _ := strings.Cut(sp.ScientificName, " ")
	out := gen.Species{
		Id: string(sp.ID), ScientificName: sp.ScientificName, VernacularName: sp.VernacularName("en"),
		Genus: genus, Family: sp.Family, Form: wire.Optional(sp.Form), FormOf: wire.Optional(string(sp.FormOf)),
		Names: namesWire(sp.Names), Synonyms: wire.ListOrEmpty(sp.Synonyms),
		BodyForm: string(sp.BodyForm), FeedingGuild: string(sp.Guild), Social: string(sp.Social),
		FeedsBy: wire.Optional(gen.FeedsBy(sp.FeedsBy)), Active: wire.Optional(gen.ActiveHours(sp.Active)), Availability: wire.Optional(gen.Availability(sp.Available)),
		Shape: sp.Shape, Colours: wire.ListOrEmpty(sp.Colours), HybridisesWith: wire.ListOrEmpty(sp.Hybridises),
		SexedInTrade: sp.SexedTrade, SoldAs: wire.Optional(gen.Sex(sp.SoldAs.String())), Needs: wire.ListOrEmpty(sp.Needs),
		Traits: traitsWire(sp), Water: waterWire(sp), Zones: zonesWire(sp.Zones), FeedingZones: zonesWire(sp.FeedingZones),
		Cautions: speciesCautions(sp), LegalNote: wire.Optional(sp.LegalNote), Note: wire.Optional(sp.Note),
		Basis: string(sp.Basis), Sources: sourcesWire(sources, sp), CatalogueRevision: revision,
	}
	if len(sp.Reviewed) > 0 {
		list := wire.Mapped(sp.Reviewed, func(v species.Review) gen.Review { return gen.Review{Field: v.Field, Reason: v.Reason} })
		out.Reviewed = &list
	}
	return out
}

// namesWire groups the names by language, in the order of the catalogue.
func namesWire(names []species.Name) []gen.NamesInLanguage {
	out := []gen.NamesInLanguage{}
	for _, n := range names {
		i := slices.IndexFunc(out, func(l gen.NamesInLanguage) bool { return l.Language == n.Language })
		if i < 0 {
			i = len(out)
			out = append(out, gen.NamesInLanguage{Language: n.Language})
		}
		out[i].Names = append(out[i].Names, n.Text)
	}
	return out
}

// traitsWire lists the known traits in the order of the tables: those of the species,
// then those in which males and females differ.
func traitsWire(sp *species.Species) []gen.TraitValue {
	out := []gen.TraitValue{}
	for _, set := range []struct {
		sex    species.Sex
		values *species.TraitSet
	}{{species.Unsexed, &sp.Traits}, {species.Male, &sp.MaleTraits}, {species.Female, &sp.FemaleTraits}} {
		for t, v := range set.values {
			if !v.Known() {
				continue
			}
			info := species.Trait(t).Info()
			value := gen.TraitValue{Trait: info.Key, Sex: wire.Optional(gen.Sex(set.sex.String())),
				Low: v.Low, Typical: v.Typical, High: v.High,
				Unit: string(info.Unit), Basis: string(v.Basis), Meaning: info.Meaning}
			if set.sex == species.Unsexed { // sources are held against the kind as a whole
				value.AgreesWith = agreesWith(sp, info.Key)
			}
			out = append(out, value)
		}
	}
	return out
}

func waterWire(sp *species.Species) []gen.WaterRange {
	out := []gen.WaterRange{}
	for p, w := range sp.Water {
		if w.Known() {
			out = append(out, gen.WaterRange{Parameter: wire.WaterParameters[p].Name, Tolerated: wire.Interval(w.Tolerated),
				Preferred: wire.Interval(w.Preferred), Unit: species.Parameter(p).Info().Unit, Basis: string(w.Basis),
				AgreesWith: agreesWith(sp, "water "+species.Parameter(p).Info().Key)})
		}
	}
	return out
}

// agreesWith are the sources that agree with a value; nil for none.
func agreesWith(sp *species.Species, field string) *gen.AgreesWith {
	keys := sp.AgreesWith(field)
	if len(keys) == 0 {
		return nil
	}
	return &keys
}

func zonesWire(z species.ZoneUse) *gen.ZoneShares {
	if !z.Known() {
		return nil
	}
	return &gen.ZoneShares{Surface: z.Share[species.Surface], Middle: z.Share[species.Middle],
		Bottom: z.Share[species.Bottom], Basis: string(z.Basis)}
}

func speciesCautions(sp *species.Species) []gen.Caution {
	out := []gen.Caution{}
	for _, code := range sp.Cautions {
		text := conflict.CautionText(code)
		if code == species.Regulated && sp.LegalNote != "" {
			text = sp.LegalNote
		}
		out = append(out, gen.Caution{Code: string(code), Species: wire.Optional(string(sp.ID)), Text: text})
	}
	return out
}

// sourcesWire lists the sources that the entry cites, by key.
func sourcesWire(sources []species.Source, sp *species.Species) []gen.Source {
	out := []gen.Source{}
	for _, s := range sources {
		if sp.Cites(s.Key) {
			out = append(out, gen.Source{Key: s.Key, Citation: s.Citation})
		}
	}
	return out
}
