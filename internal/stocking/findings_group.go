package stocking

import (
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
	lines = f.oneGroup(first)
	least, customary, known := GroupNeed(r.Species, r.Sex)
	if lines[0] < first || !known || !f.counted(lines) {
		return // its other form speaks for both
	}
	company := f.fishOf(lines)
	switch GroupShortage(company, least, customary) {
	case BelowLeast:
		severity := Note
		if Shoals(r.Species) {
			severity = Advice
		}
		f.add(severity, GroupTooSmall, lines, f.raise(lines, least), groupEvidence(company, least, customary)...)
	case BelowCustomary:
		f.add(Note, GroupBelowCustom, lines, f.raise(lines, customary), groupEvidence(company, least, customary)...)
	}
}

// fishOf is how many fish some lines are.
func (f *finder) fishOf(lines []int) (n int) {
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
	company := f.fishOf(lines)
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

// sexes looks at the males and females of a species where both are told. A line whose
// sex is not told leaves the ratio open, and nothing is said about it.
func (f *finder) sexes(first int) {
	lines := f.kindLines(first)
	var n [3]int // by sex
	for _, i := range lines {
		n[f.Lines[i].Sex] += f.Lines[i].Fish
	}
	males, females := n[species.Male], n[species.Female]
	f.fry(lines, males, females, n[species.Unsexed])
	if males+females == 0 {
		return
	}
	sp := f.Lines[first].Species
	if !sp.SexedTrade {
		f.add(Note, SexNotTold, lines, nil)
	}
	need, known := f.Lines[first].Band(species.FemalesPerMale)
	switch trouble, wanted := sexesOf(sp, n, need, known); trouble {
	case manyMales:
		if sp.Social == species.Solitary {
			return // two of a kind that lives alone: that is said already
		}
		f.add(Advice, SexesWrong, lines, f.fewerMales(lines), sexEvidence(males, females, need.Typical)...)
	case fewFemales:
		f.add(Advice, SexRatio, lines, f.moreFemales(lines, wanted-females), sexEvidence(males, females, need.Typical)...)
	}
}

// fry says that livebearers of both sexes, or of sexes that nobody told, breed by themselves.
func (f *finder) fry(lines []int, males, females, untold int) {
	sp := f.Lines[lines[0]].Species
	if !livebearer(sp) || males+females+untold < 2 || untold == 0 && (males == 0 || females == 0) {
		return
	}
	f.add(Note, FryExpected, lines, nil)
}

func sexEvidence(males, females int, ratio float64) []conflict.Evidence {
	return []conflict.Evidence{
		{Name: "males", Value: float64(males), Unit: "fish"},
		{Name: "females", Value: float64(females), Unit: "fish"},
		{Name: "females_per_male", Value: ratio, Unit: "ratio"},
	}
}

// fewerMales leaves one male, where all males are in one line.
func (f *finder) fewerMales(lines []int) *Change {
	male := -1
	for _, i := range lines {
		if f.Lines[i].Sex == species.Male {
			if male >= 0 {
				return nil
			}
			male = i
		}
	}
	c := f.NewChange(ReduceGroup, male, conflict.Evidence{Name: "count", Value: 1, Unit: "fish"})
	c.Count = 1
	return c
}

func (f *finder) moreFemales(lines []int, add int) *Change {
	line := lines[0]
	for _, i := range lines {
		if f.Lines[i].Sex == species.Female {
			line = i
		}
	}
	c := f.NewChange(AddFemales, line, conflict.Evidence{Name: "count", Value: float64(add), Unit: "fish"})
	c.Count = add
	return c
}
