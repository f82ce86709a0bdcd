package additions

import (
	"slices"
	"strings"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// How many additions are returned.
const (
	DefaultLimit = 20  // that fit, where no limit is given
	DefaultBelow = 10  // just below, where no limit is given
	MaxLimit     = 200 // of either kind
)

// Options narrows the additions.
type Options struct {
	Limit   int // additions that fit; 0 for DefaultAdditions
	Below   int // additions just below; 0 for DefaultBelow, negative for none
	Filters Filters
	// InStock are the positions in the snapshot of the species on offer, each once or
	// more; nil offers the whole catalogue.
	InStock []int
	// InsteadOf is the position of a species to be replaced: its lines are taken out
	// of the list, and what fits is ranked by its [Likeness] to it.
	InsteadOf *int
}

// Filters narrow by what the species are. A species of which the catalogue
// does not know what a filter asks does not pass: a filter promises.
type Filters struct {
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
func validateAdditions(book *conflict.Book, s *stocking.Stock, o *Options) error {
	var in stocking.Inspector
	kinds := book.Snapshot.Len()
	in.Within(-1, "lines", float64(len(s.Lines)), 0, stocking.MaxLines-1)
	if len(s.Lines) < stocking.MaxLines {
		for i := range s.Lines {
			in.Line(i, &s.Lines[i], kinds)
		}
	}
	in.Within(-1, "wanted_level", float64(s.Wanted), 0, float64(conflict.Severe))
	in.Tank(s.Tank)
	in.Within(-1, "limit", float64(o.Limit), 0, MaxLimit)
	in.Within(-1, "below", float64(o.Below), -1, MaxLimit)
	in.Optional(-1, "max_length_cm", o.Filters.MaxLengthCM, stocking.MinLengthCM, stocking.MaxLengthCM)
	for _, i := range o.InStock {
		in.Within(-1, "in_stock", float64(i), 0, float64(kinds-1))
	}
	if o.InsteadOf != nil {
		in.Within(-1, "instead_of", float64(*o.InsteadOf), 0, float64(kinds-1))
	}
	if z := o.Filters.Zone; z != nil {
		in.Within(-1, "zone", float64(*z), 0, float64(species.Bottom))
	}
	for _, w := range o.Filters.Temperament {
		if !slices.Contains(temperaments, w) {
			in.Found = append(in.Found, stocking.Problem{Line: -1, Field: "temperament", What: "temperament " + string(w) + " is not known"})
		}
	}
	return in.Err()
}

// passes reports whether a species is what the filters ask for.
func (f *Filters) passes(sp *species.Species) bool {
	return (f.Zone == nil || sp.Zones.Known() && mainZone(sp) == *f.Zone) &&
		(f.Family == "" || strings.EqualFold(f.Family, sp.Family)) &&
		f.shortEnough(sp) && f.calmEnough(sp)
}

func (f *Filters) shortEnough(sp *species.Species) bool {
	if f.MaxLengthCM == 0 {
		return true
	}
	v, known := greatestValue(sp, species.Length)
	return known && v.High <= f.MaxLengthCM
}

func (f *Filters) calmEnough(sp *species.Species) bool {
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
