package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/waterchem"
)

// tankSize finds a tank that is shorter, smaller or lower than adults of a species need.
// Without dimensions nothing is said (see [FootprintUnknown]).
func (f *finder) tankSize(first int) {
	if !f.HasFootprint() {
		return
	}
	r := &f.Lines[first]
	short := f.Tank.ShortFor(r)
	severity := short.Severities()
	if short.Length > Enough {
		length, _ := r.Band(species.TankLength)
		f.add(severity[0], TankTooShort, f.kindLines(first), f.largerTank(r),
			conflict.Evidence{Name: "tank_length", Value: f.Tank.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "needed_length", Value: length.Typical, Unit: "cm"},
			conflict.Evidence{Name: "least_length", Value: length.Low, Unit: "cm"})
	}
	if short.Footprint > Enough {
		f.footprint(severity[1], first)
	}
	if short.Height > Enough {
		need, _ := r.Band(species.TankHeight)
		f.add(severity[2], TankTooLow, f.kindLines(first), f.largerTank(r),
			conflict.Evidence{Name: "tank_height", Value: f.Tank.HeightCM, Unit: "cm"},
			conflict.Evidence{Name: "needed_height", Value: need.Typical, Unit: "cm"},
			conflict.Evidence{Name: "least_height", Value: need.Low, Unit: "cm"})
	}
}

func (f *finder) footprint(severity Severity, first int) {
	r := &f.Lines[first]
	length, width := r.typical(species.TankLength, 0), r.typical(species.TankWidth, 0)
	f.add(severity, FootprintTooSmall, f.kindLines(first), f.largerTank(r),
		conflict.Evidence{Name: "footprint", Value: f.Tank.LengthCM * f.Tank.WidthCM, Unit: "cm2"},
		conflict.Evidence{Name: "needed_footprint", Value: length * width, Unit: "cm2"},
		conflict.Evidence{Name: "needed_length", Value: length, Unit: "cm"},
		conflict.Evidence{Name: "needed_width", Value: width, Unit: "cm"},
		conflict.Evidence{Name: "tank_length", Value: f.Tank.LengthCM, Unit: "cm"},
		conflict.Evidence{Name: "tank_width", Value: f.Tank.WidthCM, Unit: "cm"})
}

// largerTank is the smallest standard tank that meets a line's customary minimum and is
// no smaller than the present one any way; nil where none is sold.
func (f *finder) largerTank(r *Resident) *Change {
	length, width := r.typical(species.TankLength, 0), r.typical(species.TankWidth, 0)
	return f.ToStandardTank(max(length, f.Tank.LengthCM), max(length*width, f.Tank.LengthCM*f.Tank.WidthCM),
		max(r.typical(species.TankHeight, 0), f.Tank.HeightCM))
}

// Crossing is how grave it is that two kinds on a list interbreed: a note, since few people who keep
// them breed them for sale.
const Crossing = Note

// hybrids finds different kinds that cross.
func (f *finder) hybrids() {
	f.kinds(func(a int) {
		first := f.Lines[a].Species
		for b := a + 1; b < len(f.Lines); b++ {
			second := f.Lines[b].Species
			if f.Lines[b].Kind != b || len(first.Hybridises)+len(second.Hybridises) == 0 || !conflict.Crosses(first, second) {
				continue
			}
			found := f.add(Crossing, Hybrids, append(f.kindLines(a), f.kindLines(b)...), nil)
			found.Statement.Other = second
		}
	})
}

// crowding finds too much ground defended, too many fish in all, else too many at one level.
func (f *finder) crowding() {
	if !f.HasFootprint() {
		return
	}
	floor := f.Tank.LengthCM * f.Tank.WidthCM
	c := f.Crowding()
	if c.overGround(floor) {
		f.add(Advice, GroundCrowded, nil, f.ToStandardTank(f.Tank.LengthCM, c.Ground/groundCrowdedAt, f.Tank.HeightCM),
			conflict.Evidence{Name: "ground", Value: c.Ground, Unit: "cm2"},
			conflict.Evidence{Name: "footprint", Value: floor, Unit: "cm2"},
			conflict.Evidence{Name: "ratio", Value: c.Ground / floor, Unit: "times"})
	}
	if c.overAll(floor) {
		f.crowded(TankCrowded, c.Swum, floor, tankCrowdedAt)
		return
	}
	for z, area := range c.Levels {
		if c.overLevel(species.Zone(z), floor) {
			f.crowded(ZoneCrowded, area, floor, levelCrowdedAt).Statement.Words = []conflict.WordCode{zoneWord[z]}
		}
	}
}

func (f *finder) crowded(code Code, area, floor, limit float64) *Finding {
	return f.add(Advice, code, nil, f.ToStandardTank(f.Tank.LengthCM, area/limit, f.Tank.HeightCM),
		conflict.Evidence{Name: "covered", Value: area, Unit: "cm2"},
		conflict.Evidence{Name: "footprint", Value: floor, Unit: "cm2"})
}

// newTank reports a tank that is being stocked for the first time: everyone is about to join.
func (j *Assessment) newTank() bool {
	return !j.Together && !slices.ContainsFunc(j.Lines, func(r Resident) bool { return !r.Incoming })
}

// tankItself says what cannot be said for want of dimensions, and how heavy a large
// tank is.
func (f *finder) tankItself() {
	if f.Tank == nil {
		return
	}
	volume := f.Tank.Volume()
	switch {
	case volume <= 0:
		f.add(Note, VolumeUnknown, nil, nil)
	case !f.HasFootprint():
		f.add(Note, FootprintUnknown, nil, nil, conflict.Evidence{Name: "volume", Value: volume, Unit: "L"})
	}
	if volume < conflict.HeavyTankL || !f.newTank() {
		return
	}
	ev := []conflict.Evidence{{Name: "volume", Value: volume, Unit: "L"}}
	celsius, _ := f.temperature()
	if kg, err := waterchem.WaterMass(volume, celsius, f.salinity()); err == nil {
		ev = append(ev, conflict.Evidence{Name: "water_mass", Value: kg, Unit: "kg"})
		if f.HasFootprint() {
			if load, err := waterchem.FloorLoad(kg, f.Tank.LengthCM, f.Tank.WidthCM); err == nil {
				ev = append(ev, conflict.Evidence{Name: "floor_load", Value: load, Unit: "kN/m2"})
			}
		}
		f.add(Note, HeavyTank, nil, nil, ev...)
	}
}

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
		if Shoals(r.Species) && float64(company) < nearlyEnough*float64(least) {
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
// fish of untold sex, else to its first line. Of a kind of which one male to a tank is
// customary, females are added to males.
func (f *finder) raise(lines []int, want int) *Change {
	line := lines[0]
	for _, i := range lines {
		if s := f.Lines[i].Sex; s == species.Female || (s == species.Unsexed && f.Lines[line].Sex == species.Male) {
			line = i
		}
	}
	company := f.fishOf(lines)
	if r := &f.Lines[line]; r.Sex == species.Male && oneMale(r.Species) {
		return f.moreFemales(lines, want-company)
	}
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
