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

// moreFish reports findings that ask for more fish of a kind.
func moreFish(f *Finding) bool {
	switch f.Code() {
	case GroupTooSmall, GroupBelowCustom, SexRatio:
		return true
	}
	return false
}

// Troubled reports whether anything is to be mended about a kind, by its first line: a pairing or a finding from
// advice on, but for what asks for more of it or for its tank.
func (j *Assessment) Troubled(kind int) bool {
	for i := range j.Pairs {
		p := &j.Pairs[i]
		if j.DecisionFor(p.Level) > Proceed && (j.Lines[p.First].Kind == kind || j.Lines[p.Second].Kind == kind) {
			return true
		}
	}
	for i := range j.Findings {
		f := &j.Findings[i]
		if f.Severity > Note && !moreFish(f) && f.Code() != TankAsked && slices.ContainsFunc(f.Lines, func(l int) bool { return j.Lines[l].Kind == kind }) {
			return true
		}
	}
	return false
}

// withMore is the list with the fish that a change adds, ready to be judged.
func (j *Assessment) withMore(c *Change) *Assessment {
	s := Stock{Tank: j.Tank, Wanted: j.Wanted, Region: j.Region, Budget: j.Budget, Others: j.Others}
	for i := range j.Lines {
		s.Lines = append(s.Lines, j.Lines[i].Line)
	}
	s.Lines = append(s.Lines, c.More(j.Book, s.Lines)...)
	return NewAssessmentFrom(j.Book, &s, j)
}

// More makes a change that asks for more fish to the lines of a check, in place, and gives the line that it adds, if any.
func (c *Change) More(book *conflict.Book, lines []Line) (added []Line) {
	l := &lines[c.Line]
	switch {
	case c.Kind == RaiseGroup:
		l.Count = c.Count
	case l.Sex != species.Female:
		return []Line{{Index: l.Index, Count: c.Count, Sex: species.Female, Incoming: true}}
	default:
		l.Count = FishIn(book, l) + c.Count
	}
	return nil
}

// Fullness is how many findings from advice on say that there are too many fish.
func Fullness(findings []Finding) (n int) {
	for i := range findings {
		if c := findings[i].Code(); findings[i].Severity > Note && (tooFull(c) || c == GroundCrowded || c == LoadTooHeavy) {
			n++
		}
	}
	return n
}

// crowdedWith reports whether the fish that a change adds would be too many for the tank.
func (j *Assessment) crowdedWith(c *Change) bool {
	if j.Crowded() {
		return true
	}
	if j.Tank.Volume() <= 0 && !j.HasFootprint() {
		return false
	}
	more := j.withMore(c)
	return Fullness(more.FindLoad(more.FindCrowding(nil))) > Fullness(j.Findings)
}

// soundAdvice takes away the remedies that ask for more fish where the list with them is judged worse or fuller, or
// where something else stays wrong with their kind.
func (j *Assessment) soundAdvice(told []Finding) {
	for i := range told {
		f := &told[i]
		if f.Remedy == nil || f.Remedy.Kind != RaiseGroup && f.Remedy.Kind != AddFemales {
			continue
		}
		more, sp := j.withMore(f.Remedy), j.Lines[f.Remedy.Line].Species
		more.Judge()
		kind := slices.IndexFunc(more.Lines, func(r Resident) bool { return r.Species == sp })
		if more.Decision > j.Decision || more.TankDecision > j.TankDecision || Fullness(more.Findings) > Fullness(j.Findings) || more.Troubled(kind) {
			f.Remedy = nil
		}
	}
}

// AsksForMoreOfHeld reports a change that adds fish of a kind that is held: nobody is told to buy more
// of what may not be sold.
func (c *Check) AsksForMoreOfHeld(change *Change) bool {
	if change.Kind != RaiseGroup && change.Kind != AddFemales || change.Line < 0 {
		return false
	}
	kind := c.Lines[change.Line].Index
	return slices.ContainsFunc(c.Reasons, func(f Finding) bool {
		return f.Severity == Stop && !f.Existing && slices.ContainsFunc(f.Lines, func(l int) bool { return c.Lines[l].Index == kind })
	})
}
