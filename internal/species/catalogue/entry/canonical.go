package entry

import "commensal/internal/species"

// Canonical is a copy of the entry as reading makes it: lists that are empty are
// nil, names stand by language, zero has no sign and what is absent has no value.
func Canonical(s *species.Species) *species.Species {
	c := *s
	c.Names = nil
	for _, language := range OutlineNames(s.Names) {
		for _, text := range language.Value.([]string) {
			c.Names = append(c.Names, species.Name{Language: language.Key, Text: text})
		}
	}
	c.Synonyms, c.Colours, c.Hybridises = OrNil(s.Synonyms), OrNil(s.Colours), OrNil(s.Hybridises)
	c.Needs, c.Cautions = OrNil(s.Needs), OrNil(s.Cautions)
	c.Reviewed, c.Checked = OrNil(s.Reviewed), OrNil(s.Checked)
	for _, set := range []*species.TraitSet{&c.Traits, &c.MaleTraits, &c.FemaleTraits} {
		for i := range set {
			if !set[i].Known() {
				set[i] = species.Value{}
			}
		}
	}
	for i := range c.Water {
		if !c.Water[i].Known() {
			c.Water[i] = species.WaterRange{}
		}
	}
	for _, z := range []*species.ZoneUse{&c.Zones, &c.FeedingZones} {
		if !z.Known() {
			*z = species.ZoneUse{}
		}
	}
	return &c
}

// OrNil is a list, nil where it is empty, as reading leaves it.
func OrNil[T any](list []T) []T {
	if len(list) == 0 {
		return nil
	}
	return list
}
