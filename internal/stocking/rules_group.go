package stocking

import (
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// GroupNeed is the smallest group that a species can be kept in and the customary one, by
// the sex that was told. Where the catalogue does not know, which known says, it is one
// fish, and two of a species that lives in company: one alone is never a shoal.
func GroupNeed(sp *species.Species, told species.Sex) (least, customary int, known bool) {
	least = 1
	if Shoals(sp) {
		least = 2
	}
	v := sp.Trait(species.GroupMin, keptSex(sp, told))
	if !v.Known() {
		return least, least, false
	}
	least = max(least, int(math.Ceil(v.Low)))
	return least, max(least, int(math.Round(v.Typical))), true
}

// GroupShortage compares how many fish there are of a kind with the group it needs.
func GroupShortage(company, least, customary int) Shortage {
	switch {
	case company >= customary:
		return Enough
	case company >= least:
		return BelowCustomary
	}
	return BelowLeast
}

// nearlyEnough is the share of the smallest group from which a shoal is short by too little to
// make words of. Common practice, no source.
const nearlyEnough = 0.75

// Shoals reports whether the species lives in company of its kind.
func Shoals(sp *species.Species) bool {
	return sp.Social == species.Group || sp.Social == species.Colony
}

// oneGroup are all lines of a species and its trade forms, which make one group, ascending.
// The first of them speaks for all.
func (f *finder) oneGroup(first int) []int {
	sp, lines := f.Lines[first].Species, f.kindLines(first)
	kind := len(lines)
	for i := range f.Lines {
		r := &f.Lines[i]
		if r.Kind != first && (r.Species.FormOf != "" || sp.FormOf != "") && conflict.OneKind(r.Species, sp) {
			lines = append(lines, i)
		}
	}
	if len(lines) > kind {
		slices.Sort(lines)
	}
	return lines
}

// oneMale reports whether a species customarily has one male to a tank.
func oneMale(sp *species.Species) bool {
	return sp.Social == species.Harem || sp.Social == species.Pair || sp.Social == species.Solitary
}

// sexTrouble is what is wrong with the sexes of one kind.
type sexTrouble uint8

const (
	sexesFine  sexTrouble = iota // or not told
	fewFemales                   // for the males there are
	manyMales                    // of a kind of which one male to a tank is customary
)

// sexesOf judges how many males and females of a species there are, and says how many
// females so many males need. A fish whose sex is not told leaves the ratio open.
func sexesOf(sp *species.Species, count [3]int, females species.Band, known bool) (sexTrouble, int) {
	males := count[species.Male]
	if males == 0 || count[species.Unsexed] > 0 {
		return sexesFine, 0
	}
	wanted := int(math.Ceil(float64(males) * females.Low))
	switch have := count[species.Female]; {
	case males >= 2 && oneMale(sp) && have < max(wanted, 1):
		return manyMales, wanted
	case known && have > 0 && have < wanted:
		return fewFemales, wanted
	}
	return sexesFine, wanted
}
