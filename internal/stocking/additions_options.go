package stocking

import (
	"slices"
	"strings"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// How many additions are returned.
const (
	DefaultAdditions = 20  // that fit, where no limit is given
	DefaultBelow     = 10  // just below, where no limit is given
	MaxAdditions     = 200 // of either kind
)

// AdditionOptions narrows the additions.
type AdditionOptions struct {
	Limit   int // additions that fit; 0 for DefaultAdditions
	Below   int // additions just below; 0 for DefaultBelow, negative for none
	Filters AdditionFilters
	// InStock are the positions in the snapshot of the species on offer, each once or
	// more; nil offers the whole catalogue.
	InStock []int
	// InsteadOf is the position of a species to be replaced: its lines are taken out
	// of the list, and what fits is ranked by its [Likeness] to it.
	InsteadOf *int
}

// AdditionFilters narrow by what the species are. A species of which the catalogue
// does not know what a filter asks does not pass: a filter promises.
type AdditionFilters struct {
	Zone        *species.Zone       // where it spends most of its time
	Family      string              // in any case of letters
	MaxLengthCM float64             // the long end of the longer sex; 0 for any
	Temperament []conflict.WordCode // any of mild, territorial, aggressive, relentless
}

// temperaments are the words of [conflict.AggressionWord].
var temperaments = []conflict.WordCode{
	conflict.WordMild, conflict.WordTerritorial, conflict.WordAggressive, conflict.WordRelentless,
}

// validateAdditions is [Stock.Validate], but for a list that may be empty and must
// leave room for one more line, with the options.
func validateAdditions(book *conflict.Book, s *Stock, o *AdditionOptions) error {
	var in inspector
	kinds := book.Snapshot.Len()
	in.within(-1, "lines", float64(len(s.Lines)), 0, MaxLines-1)
	if len(s.Lines) < MaxLines {
		for i := range s.Lines {
			in.line(i, &s.Lines[i], kinds)
		}
	}
	in.within(-1, "wanted_level", float64(s.Wanted), 0, float64(conflict.Severe))
	in.tank(s.Tank)
	in.within(-1, "limit", float64(o.Limit), 0, MaxAdditions)
	in.within(-1, "below", float64(o.Below), -1, MaxAdditions)
	in.optional(-1, "max_length_cm", o.Filters.MaxLengthCM, MinLengthCM, MaxLengthCM)
	for _, i := range o.InStock {
		in.within(-1, "in_stock", float64(i), 0, float64(kinds-1))
	}
	if o.InsteadOf != nil {
		in.within(-1, "instead_of", float64(*o.InsteadOf), 0, float64(kinds-1))
	}
	if z := o.Filters.Zone; z != nil {
		in.within(-1, "zone", float64(*z), 0, float64(species.Bottom))
	}
	for _, w := range o.Filters.Temperament {
		if !slices.Contains(temperaments, w) {
			in.found = append(in.found, Problem{Line: -1, Field: "temperament", What: "temperament " + string(w) + " is not known"})
		}
	}
	if in.found == nil {
		return nil
	}
	return &InputError{in.found}
}

// passes reports whether a species is what the filters ask for.
func (f *AdditionFilters) passes(sp *species.Species) bool {
	return (f.Zone == nil || sp.Zones.Known() && mainZone(sp) == *f.Zone) &&
		(f.Family == "" || strings.EqualFold(f.Family, sp.Family)) &&
		f.shortEnough(sp) && f.calmEnough(sp)
}

func (f *AdditionFilters) shortEnough(sp *species.Species) bool {
	if f.MaxLengthCM == 0 {
		return true
	}
	v, known := greatestValue(sp, species.Length)
	return known && v.High <= f.MaxLengthCM
}

func (f *AdditionFilters) calmEnough(sp *species.Species) bool {
	if len(f.Temperament) == 0 {
		return true
	}
	v, known := greatestValue(sp, species.AggressionOthers)
	return known && slices.Contains(f.Temperament, conflict.AggressionWord(v.Typical))
}

// greatestValue is a trait's value in the sex that has most of it, or in the one that
// is customarily sold.
func greatestValue(sp *species.Species, t species.Trait) (species.Value, bool) {
	if sp.SoldAs != species.Unsexed {
		v := sp.Trait(t, sp.SoldAs)
		return v, v.Known()
	}
	best := sp.Traits[t]
	for _, v := range [...]species.Value{sp.MaleTraits[t], sp.FemaleTraits[t]} {
		if v.Known() && (!best.Known() || v.Typical > best.Typical) {
			best = v
		}
	}
	return best, best.Known()
}

// mainZone is the level at which a species spends most of its time, the higher one of
// equals.
func mainZone(sp *species.Species) species.Zone {
	best := species.Surface
	for z := range species.Zone(species.NumZones) {
		if sp.Zones.Share[z] > sp.Zones.Share[best] {
			best = z
		}
	}
	return best
}
