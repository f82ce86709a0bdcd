package cataloguerows

import (
	"fmt"

	"commensal/internal/species"
)

// ContentError says that a catalogue holds something that no catalogue should
// and that the tables could not give back. Nothing was written.
type ContentError struct {
	Species string // the entry, or empty
	Problem string
}

func (e *ContentError) Error() string {
	if e.Species == "" {
		return "store: catalogue: " + e.Problem
	}
	return fmt.Sprintf("store: catalogue: %s: %s", e.Species, e.Problem)
}

// Check refuses, with a [ContentError], what would be lost or would panic. The database's own
// constraints judge the rest.
func Check(c species.Catalogue) error {
	for i, s := range c.Species {
		if s == nil {
			return &ContentError{Problem: fmt.Sprintf("entry %d is nil", i)}
		}
		if err := checkEntry(s); err != nil {
			return err
		}
	}
	return nil
}

func checkEntry(s *species.Species) error {
	if s.SoldAs > species.Female {
		return &ContentError{Species: string(s.ID), Problem: fmt.Sprintf("sold as sex %d, which does not exist", s.SoldAs)}
	}
	for _, set := range traitSets(s) {
		for t, v := range set.traits {
			if !v.Known() && v != (species.Value{}) {
				return baseless(s, species.Trait(t).String())
			}
		}
	}
	for p, w := range s.Water {
		if !w.Known() && w != (species.WaterRange{}) {
			return baseless(s, species.Parameter(p).String())
		}
	}
	for _, z := range zoneUses(s) {
		if !z.use.Known() && *z.use != (species.ZoneUse{}) {
			return baseless(s, z.activity+" zones")
		}
	}
	return nil
}

func baseless(s *species.Species, what string) error {
	return &ContentError{Species: string(s.ID), Problem: what + " has a value but no basis"}
}
