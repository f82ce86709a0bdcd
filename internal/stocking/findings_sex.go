package stocking

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// sexes looks at the males and females of a species where both are told. A line whose
// sex is not told leaves the ratio open, and nothing is said about it.
func (f *finder) sexes(first int) {
	lines := f.kindLines(first)
	var n [3]int // by sex
	for _, i := range lines {
		n[f.Lines[i].Sex] += f.Lines[i].Fish
	}
	males, females := n[species.Male], n[species.Female]
	if males+females == 0 {
		return
	}
	sp := f.Lines[first].Species
	if !sp.SexedTrade {
		f.add(Note, SexNotTold, lines, nil)
	}
	if males == 0 || n[species.Unsexed] > 0 {
		return
	}
	need, known := f.Lines[first].Band(species.FemalesPerMale)
	wanted := int(math.Ceil(float64(males) * need.Low))
	rivals := males >= 2 && oneMale(sp)
	switch {
	case rivals && females < max(wanted, 1):
		f.add(Advice, SexesWrong, lines, f.fewerMales(lines), sexEvidence(males, females, need.Typical)...)
	case known && females > 0 && females < wanted:
		f.add(Advice, SexRatio, lines, f.moreFemales(lines, wanted-females), sexEvidence(males, females, need.Typical)...)
	}
}

// oneMale reports whether a species customarily has one male to a tank.
func oneMale(sp *species.Species) bool {
	return sp.Social == species.Harem || sp.Social == species.Pair || sp.Social == species.Solitary
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
