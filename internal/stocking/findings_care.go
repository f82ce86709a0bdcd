package stocking

import (
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/waterchem"
)

// When a habit is strong enough to ask something of the tank: grades as in the
// catalogue. Common practice, no source.
const (
	jumperFrom      = 0.6  // jumps: a lid is needed
	timidFrom       = 0.55 // cowed: cover is needed
	territorialFrom = 0.3  // drives others off: cover is needed beside others
	plantEaterFrom  = 0.5  // spoils a planted tank
	plantNibblerAt  = 0.3  // may spoil it
	leastCover      = conflict.NormalCover
)

// keeping compares what a species needs of the furnishing with what the tank has. What
// is not known of the tank is said as a note; what is known to be wrong is advice.
func (f *finder) keeping(first int) {
	f.lid(first)
	f.cover(first)
	f.landAndSalt(first)
	r := &f.Lines[first]
	if r.needs("sand") && f.Tank != nil && f.Tank.Substrate != "sand" {
		f.add(Note, SandNeeded, f.kindLines(first), f.NewChange(LaySand, -1))
	}
	if r.needs("mature_tank") && !f.known(true, func(t *Tank) *bool { return t.FilterMature }) {
		f.matureTank(first)
	}
	f.plants(first)
}

// landAndSalt finds animals of the shore, and of brackish water where nobody told of salt: a tank is taken to be full of fresh
// water.
func (f *finder) landAndSalt(first int) {
	severity := Note
	if f.Tank.Volume() > 0 || f.HasFootprint() {
		severity = Advice
	}
	sp := f.Lines[first].Species
	if f.Lines[first].needs("land_area") {
		f.add(severity, LandNeeded, f.kindLines(first), nil)
	}
	if NeedsSalt(sp) && !f.Reading(species.Salinity).Known {
		w := sp.Water[species.Salinity].Preferred
		f.add(severity, SaltNeeded, f.kindLines(first), nil,
			conflict.Evidence{Name: "preferred_low", Value: w.Low, Unit: "ppt"}, conflict.Evidence{Name: "preferred_high", Value: w.High, Unit: "ppt"})
	}
}

// NeedsSalt reports a kind that needs salt in the water as an adult.
func NeedsSalt(sp *species.Species) bool { return slices.Contains(sp.Cautions, species.SaltOverTime) }

// matureTank holds fish that starve in a new tank where they are about to join one: those that live
// on what grows there. Others merely do badly.
func (f *finder) matureTank(first int) {
	lines := f.kindLines(first)
	severity := f.unless(func(t *Tank) *bool { return t.FilterMature })
	switch f.Lines[first].Species.Guild {
	case species.AlgaeGrazer, species.Detritivore, species.FilterFeeder:
		if severity == Advice && f.anyIncoming(lines) {
			severity = Stop
			lines = slices.DeleteFunc(slices.Clone(lines), func(l int) bool { return !f.Lines[l].Incoming }) // those that live there have found what they eat
		}
	}
	f.add(severity, MatureTankNeeded, lines, f.NewChange(MatureFilter, -1))
}

func (f *finder) anyIncoming(lines []int) bool {
	return !f.Together && slices.ContainsFunc(lines, func(l int) bool { return f.Lines[l].Incoming })
}

// Jumps reports whether a kind leaves a tank without a lid.
func Jumps(sp *species.Species) bool {
	return sp.Trait(species.Jumping, sp.SoldAs).Typical >= jumperFrom
}

func (f *finder) lid(first int) {
	r := &f.Lines[first]
	jumps := r.typical(species.Jumping, 0)
	lid := func(t *Tank) *bool { return t.Lid }
	if jumps < jumperFrom || f.known(true, lid) {
		return
	}
	f.add(f.unless(lid), LidNeeded, f.kindLines(first), f.NewChange(CloseLid, -1),
		conflict.Evidence{Name: "jumping", Value: jumps, Unit: "grade"})
}

// cover finds a known cover that is too thin for the timid, and for the territorial
// beside others.
func (f *finder) cover(first int) {
	if f.Tank == nil || !f.Tank.CoverKnown || f.Tank.Cover >= leastCover {
		return
	}
	r := &f.Lines[first]
	timidity := r.typical(species.Timidity, 0)
	hides := timidity >= timidFrom || r.needs("hiding_places") || r.needs("caves")
	alone := len(f.Lines) == 1 && r.Fish == 1
	fierce := max(r.typical(species.AggressionOthers, 0), r.typical(species.AggressionOwn, 0))
	defends := r.typical(species.Territory, 0) > 0 && fierce >= territorialFrom && !alone
	if !hides && !defends {
		return
	}
	remedy := f.NewChange(MoreCover, -1,
		conflict.Evidence{Name: "from", Value: f.Tank.Cover, Unit: "share"},
		conflict.Evidence{Name: "to", Value: leastCover, Unit: "share"})
	remedy.From, remedy.To = f.Tank.Cover, leastCover
	f.add(Advice, CoverThin, f.kindLines(first), remedy,
		conflict.Evidence{Name: "cover", Value: f.Tank.Cover, Unit: "share"},
		conflict.Evidence{Name: "needed_cover", Value: leastCover, Unit: "share"},
		conflict.Evidence{Name: "timidity", Value: timidity, Unit: "grade"})
}

// plants finds plant eaters in a tank that is known to be planted.
func (f *finder) plants(first int) {
	eats := f.Lines[first].typical(species.PlantEating, 0)
	if eats < plantNibblerAt || !f.known(true, func(t *Tank) *bool { return t.Planted }) {
		return
	}
	severity := Note
	if eats >= plantEaterFrom {
		severity = Advice
	}
	f.add(severity, PlantsEaten, f.kindLines(first), f.NewChange(RemovePlants, -1),
		conflict.Evidence{Name: "plant_eating", Value: eats, Unit: "grade"})
}

// known reports whether a yes-or-no of the tank is known to be want.
func (f *finder) known(want bool, field func(*Tank) *bool) bool {
	if f.Tank == nil {
		return false
	}
	v := field(f.Tank)
	return v != nil && *v == want
}

// unless is advice where the tank is known to lack something, a note where it is not
// known.
func (f *finder) unless(field func(*Tank) *bool) Severity {
	if f.known(false, field) {
		return Advice
	}
	return Note
}

// How turnover and the catalogue's flow grade compare: common practice, no source.
const (
	// torrentTurnover is the turnover in volumes an hour taken as grade 1, a torrent;
	// less is graded in proportion. Outlets and layout matter as much, so only a wide
	// mismatch is reported.
	torrentTurnover = 12.0
	// flowMargin is how far beyond a species' own band the grade must lie.
	flowMargin = 0.3
	// LeastTurnover is the turnover in volumes an hour under which a filter is weak.
	LeastTurnover = 2.0
)

// flow compares a known turnover with the water movement a species wants.
func (f *finder) flow(first int) {
	want, ok := f.Lines[first].Band(species.Flow)
	if f.Tank == nil || f.Tank.TurnoverPerHour <= 0 || !ok {
		return
	}
	grade := min(1, f.Tank.TurnoverPerHour/torrentTurnover)
	most, least := want.High+flowMargin, want.Low-flowMargin
	switch {
	case grade > most:
		f.addFlow(FlowTooStrong, first, math.Floor(most*torrentTurnover*10)/10, grade-most)
	case grade < least:
		f.addFlow(FlowTooWeak, first, math.Ceil(least*torrentTurnover*10)/10, least-grade)
	}
}

// addFlow reports a flow that is too strong or too weak by so many grades.
func (f *finder) addFlow(code Code, first int, to, by float64) {
	severity := Note
	if by > flowMargin {
		severity = Advice
	}
	f.add(severity, code, f.kindLines(first), f.moveTurnover(to),
		conflict.Evidence{Name: "turnover", Value: f.Tank.TurnoverPerHour, Unit: "per_hour"},
		conflict.Evidence{Name: "turnover_limit", Value: to, Unit: "per_hour"})
}

const (
	// longYears is the life span from which the commitment is said aloud.
	longYears = 10.0
	// growthSlack is the share by which a length may lie outside the growth band
	// before age and length are called contradictory: fish grow as they are fed.
	growthSlack = 0.2
	// hatchlingCM is added to the longest length at an age: the curve starts from
	// nothing, fish do not. Both common practice, no source.
	hatchlingCM = 1.0

	monthsPerYear = 12
)

// growth looks at the length and age that were given. A length above the longest on
// record is named and computed with as given.
func (f *finder) growth(i int) {
	r := &f.Lines[i]
	adult, ok := r.adultLength()
	if !ok || r.LengthCM <= 0 {
		return
	}
	given := conflict.Evidence{Name: "length", Value: r.LengthCM, Unit: "cm"}
	if r.LengthCM > adult.High {
		remedy := f.NewChange(CorrectLength, i, given, conflict.Evidence{Name: "longest", Value: adult.High, Unit: "cm"})
		remedy.From, remedy.To = r.LengthCM, adult.High
		f.add(Advice, LongerThanRecorded, []int{i}, remedy, given,
			conflict.Evidence{Name: "longest", Value: adult.High, Unit: "cm"})
		return
	}
	k, ok := r.Band(species.GrowthK)
	if !ok || r.AgeMonth <= 0 {
		return
	}
	years := r.AgeMonth / monthsPerYear
	shortest, errLow := waterchem.Growth{LInf: adult.Low, K: k.Low}.LengthAt(years)
	longest, errHigh := waterchem.Growth{LInf: adult.High, K: k.High}.LengthAt(years)
	if errLow != nil || errHigh != nil {
		return
	}
	if r.LengthCM < shortest*(1-growthSlack) || r.LengthCM > longest*(1+growthSlack)+hatchlingCM {
		f.add(Advice, AgeAgainstLength, []int{i}, nil, given,
			conflict.Evidence{Name: "age", Value: r.AgeMonth, Unit: "month"},
			conflict.Evidence{Name: "shortest", Value: shortest, Unit: "cm"},
			conflict.Evidence{Name: "longest", Value: longest, Unit: "cm"})
	}
}

// adultLength is the adult length of the line's sex, over both sexes where it is not told.
func (r *Resident) adultLength() (species.Band, bool) {
	b, ok := r.Band(species.Length)
	if !ok || keptSex(r.Species, r.Sex) != species.Unsexed {
		return b, ok
	}
	for _, v := range [...]species.Value{r.Species.MaleTraits[species.Length], r.Species.FemaleTraits[species.Length]} {
		if v.Known() {
			b.Low, b.High = min(b.Low, v.Low), max(b.High, v.High)
		}
	}
	return b, true
}

// commitment says aloud how long a long-lived species lives.
func (f *finder) commitment(first int) {
	life, ok := f.Lines[first].Band(species.Lifespan)
	if ok && life.Typical >= longYears {
		f.add(Note, LongCommitment, f.kindLines(first), nil,
			conflict.Evidence{Name: "years", Value: life.Typical, Unit: "year"},
			conflict.Evidence{Name: "years_high", Value: life.High, Unit: "year"})
	}
}
