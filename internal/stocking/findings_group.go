package stocking

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// group compares the number of fish of a species, over all its lines, with the group it
// needs, and finds loners that are not alone. Where no line says how many there are,
// the customary group is meant and there is nothing to find.
func (f *finder) group(first int) {
	lines := f.kindLines(first)
	r := &f.Lines[first]
	if r.Species.Social == species.Solitary && f.counted(lines) {
		f.loners(lines)
		return
	}
	lines = f.kinLines(first)
	if lines[0] < first || !f.counted(lines) {
		return // its other form speaks for both
	}
	company := f.headsOf(lines)
	need, ok := r.Band(species.GroupMin)
	least := int(math.Ceil(need.Low))
	if Shoals(r.Species) {
		least = max(least, 2) // one alone is never a shoal
	}
	customary := max(least, int(math.Round(need.Typical)))
	switch {
	case !ok || company >= customary:
	case company < least:
		f.add(Advice, GroupTooSmall, lines, f.raise(lines, least), groupEvidence(company, least, customary)...)
	default:
		f.add(Note, GroupBelowCustom, lines, f.raise(lines, customary), groupEvidence(company, least, customary)...)
	}
}

// kinLines are all lines of a species and its trade forms, which make one shoal, ascending.
func (f *finder) kinLines(first int) (lines []int) {
	for i := range f.Lines {
		if conflict.OneKind(f.Lines[i].Species, f.Lines[first].Species) {
			lines = append(lines, i)
		}
	}
	return lines
}

// headsOf is how many fish some lines are.
func (f *finder) headsOf(lines []int) (n int) {
	for _, i := range lines {
		n += f.Lines[i].Fish
	}
	return n
}

func groupEvidence(have, least, customary int) []conflict.Evidence {
	return []conflict.Evidence{
		{Name: "count", Value: float64(have), Unit: "fish"},
		{Name: "group_min", Value: float64(least), Unit: "fish"},
		{Name: "group_customary", Value: float64(customary), Unit: "fish"},
	}
}

// loners finds a species that lives alone kept in numbers.
func (f *finder) loners(lines []int) {
	r := &f.Lines[lines[0]]
	if r.Company < 2 {
		return
	}
	var remedy *Change
	if len(lines) == 1 {
		remedy = f.NewChange(ReduceGroup, lines[0], conflict.Evidence{Name: "count", Value: 1, Unit: "fish"})
		remedy.Count = 1
	}
	f.add(Advice, SolitaryInNumbers, lines, remedy, conflict.Evidence{Name: "count", Value: float64(r.Company), Unit: "fish"})
}

// raise brings a species to a number of fish by adding to its females, else to its
// fish of untold sex, else to its first line.
func (f *finder) raise(lines []int, want int) *Change {
	line := lines[0]
	for _, i := range lines {
		if s := f.Lines[i].Sex; s == species.Female || (s == species.Unsexed && f.Lines[line].Sex == species.Male) {
			line = i
		}
	}
	company := f.headsOf(lines)
	c := f.NewChange(RaiseGroup, line,
		conflict.Evidence{Name: "count", Value: float64(want), Unit: "fish"},
		conflict.Evidence{Name: "count_now", Value: float64(company), Unit: "fish"})
	c.Count = f.Lines[line].Fish + want - company
	return c
}

func (f *finder) counted(lines []int) bool {
	for _, i := range lines {
		if f.Lines[i].Count > 0 {
			return true
		}
	}
	return false
}

// Shoals reports whether the species lives in company of its kind.
func Shoals(sp *species.Species) bool {
	return sp.Social == species.Group || sp.Social == species.Colony
}
