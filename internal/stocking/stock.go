package stocking

import (
	"cmp"
	"slices"

	"commensal/internal/budget"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/units"
)

// MaxLines is the greatest number of lines in one request, residents and incoming
// together.
const MaxLines = 200

// Line is one line of stock: so many fish of one species, alike in what is known.
type Line struct {
	Index    int // position of the species in the book's snapshot
	Count    int // number of fish; 0 for the customary group
	Sex      species.Sex
	LengthCM float64 // present total length in cm; 0 when not given
	AgeMonth float64 // age in months; 0 when not given
	// Observed is the keeper's experience of these very fish over MonthsObserved.
	Observed       conflict.Disposition
	MonthsObserved float64
	Unproved       bool // an experience of no months was given, which counts for nothing

	Incoming bool    // about to join, not a resident yet
	Keep     bool    // never to be left out
	Weight   float64 // cost of leaving it out; 0 counts as 1
	Refs     []int   // positions in the caller's list, residents first, then incoming

	// Word is the name as the caller wrote it and Meanings what it may mean, Index among them, where
	// it is not clear; see package meanings.
	Word     string
	Meanings []int
	Broader  int // how many less likely kinds it may mean besides
}

// Stock is a list of lines, in a tank where one is known.
type Stock struct {
	Lines []Line
	Tank  *Tank
	// Wanted is the highest level that a pairing may have; Low is stricter.
	Wanted conflict.Level
	// Budget is how much work the list may take, and through it whoever waits can end the
	// work; nil is any. What decides is always judged; what only helps, such as what to
	// leave out, is as good as the budget allows, and says so.
	Budget *budget.Budget
	Others []Other // lines of the list that are no fish of the catalogue
	Region string  // where the seller is, as the caller says it; empty where that is not known
	// Ready is an assessment of a list with lines in common, whose fish need not be made ready anew;
	// nil for none. See [JudgeReady].
	Ready *Assessment
}

// Other is a line that cannot be judged: something of the trade that is no fish of the catalogue,
// or a name that was not found and set aside.
type Other struct {
	Word string           // as the caller wrote it
	Good species.GoodKind // empty for a name that was not found
	// Animal is which animal of the list of other animals it is; nil for none. Taken is the name of the list that
	// Word was taken for where it has a slip in it.
	Animal   *species.OtherAnimal
	Taken    string
	Ref      int // position in the caller's list
	Incoming bool
}

// What work costs, in units of a [budget.Budget]. One unit is a pairing scored without
// words.
const (
	UnitBrief    = 2  // a pairing with its band, reason and summary
	UnitsFinding = 10 // all that is found of one line
	UnitsJudging = 60 // all that is found of a list, whatever its length
)

// Decision is the answer at the till.
type Decision uint8

// The decisions, from go to stop.
const (
	Proceed Decision = iota // nothing speaks against it
	Advise                  // possible with the advice listed
	Hold                    // staff must look before a sale
)

// String is the decision's word in the API.
func (d Decision) String() string { return [...]string{"proceed", "advise", "hold"}[d] }

// ExitStatus is the exit status of the command line for the decision.
func (d Decision) ExitStatus() int { return [...]int{0, 3, 4}[d] }

// Severity orders findings.
type Severity uint8

// The severities. A note never changes the decision; advice makes it Advise; a stop
// makes it Hold.
const (
	Note Severity = iota
	Advice
	Stop
)

// String is the severity's word in the API.
func (s Severity) String() string { return [...]string{"note", "advice", "stop"}[s] }

// canonical is the list in canonical order with like lines merged, so that the order
// in which a list is written never matters.
//
// The rule: lines of one species are merged, their counts added, when sex, length, age,
// disposition and months observed, incoming, keep and weight are all equal; otherwise
// they stay apart and are judged against each other as own kind. A line without a
// count stands for the customary group when it is merged with another.
func canonical(book *conflict.Book, lines []Line, on *Slate) []Line {
	out := append(on.given[:0], lines...)
	on.given = out
	for i := range out {
		l := &out[i]
		if l.Refs == nil {
			l.Refs = []int{i}
		}
		if l.Weight == 0 {
			l.Weight = 1
		}
		l.Unproved = l.Unproved || l.Observed != conflict.Typical && l.MonthsObserved == 0
		if l.Observed == conflict.Typical || l.MonthsObserved == 0 {
			l.Observed, l.MonthsObserved = conflict.Typical, 0
		}
	}
	on.lines = sorted(out, on.lines)
	return merge(book, on.lines)
}

// sorted is lines in canonical order, in room for them: a line is large, and is moved once.
func sorted(lines, room []Line) []Line {
	var few [maxShared]int32
	order := few[:0]
	for i := range lines {
		order = append(order, int32(i))
	}
	slices.SortFunc(order, func(x, y int32) int {
		a, b := &lines[x], &lines[y]
		if c := CompareLines(a, b); c != 0 {
			return c
		}
		return cmp.Or(cmp.Compare(a.Count, b.Count), slices.Compare(a.Refs, b.Refs))
	})
	out := slices.Grow(room[:0], len(lines))[:len(lines)]
	for at, i := range order {
		out[at] = lines[i]
	}
	return out
}

// CompareLines orders lines by everything that keeps them apart; 0 means like lines.
func CompareLines(a, b *Line) int {
	if c := cmp.Compare(a.Index, b.Index); c != 0 {
		return c
	}
	return cmp.Or(
		cmp.Compare(a.Sex, b.Sex),
		cmp.Compare(a.LengthCM, b.LengthCM),
		cmp.Compare(a.AgeMonth, b.AgeMonth),
		cmp.Compare(a.Observed, b.Observed),
		cmp.Compare(a.MonthsObserved, b.MonthsObserved),
		compareBool(a.Incoming, b.Incoming),
		compareBool(a.Keep, b.Keep),
		cmp.Compare(a.Weight, b.Weight),
		slices.Compare(a.Meanings, b.Meanings),
	)
}

// compareBool orders false before true.
func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// merge joins neighbours of equal kind in a sorted list.
func merge(book *conflict.Book, sorted []Line) []Line {
	out := sorted[:0]
	for i := range sorted {
		l := &sorted[i]
		last := len(out) - 1
		if last < 0 || CompareLines(&out[last], l) != 0 {
			if out = sorted[:len(out)+1]; last+1 < i {
				out[last+1] = *l
			}
			continue
		}
		sp := book.Snapshot.At(l.Index)
		out[last].Count = fishIn(sp, &out[last]) + fishIn(sp, l)
		out[last].Unproved = out[last].Unproved || l.Unproved
		out[last].Refs = append(slices.Clone(out[last].Refs), l.Refs...)
		slices.Sort(out[last].Refs)
	}
	return out
}

// fishIn is the number of fish in a line: as given, else the customary group, at least
// one, and one where the catalogue has no customary group.
func fishIn(sp *species.Species, l *Line) int {
	if l.Count > 0 {
		return l.Count
	}
	if v := sp.Trait(species.GroupMin, keptSex(sp, l.Sex)); v.Known() {
		return max(1, int(v.Typical+0.5))
	}
	return 1
}

// keptSex is the sex whose traits stand for a line: as told, else the sex sold.
func keptSex(sp *species.Species, told species.Sex) species.Sex {
	if told != species.Unsexed {
		return told
	}
	return sp.SoldAs
}

// Ref tells a line through changes of the list.
func (l *Line) Ref() int {
	if len(l.Refs) == 0 {
		return -1
	}
	return l.Refs[0]
}

// FishIn is the number of fish that a line stands for: its count, else the customary
// group, at least one. The line's species must be in the book.
func FishIn(book *conflict.Book, l *Line) int { return fishIn(book.Snapshot.At(l.Index), l) }

// Tank is a tank with its equipment and habits. Parts that are not known are nil or
// zero; nothing is assumed for them without being named in the answer.
type Tank struct {
	conflict.Tank
	VolumeL         float64  // given volume in litres where dimensions are not known
	ShapeTaken      bool     // the dimensions are customary ones for the volume, not the keeper's
	TurnoverPerHour float64  // filter flow as volumes per hour; 0 when not known
	WeeklyChange    *float64 // share of the water changed weekly, 0 to 1
	Lid             *bool
	FilterMature    *bool
	Planted         *bool
	Substrate       string   // "sand", "gravel", "bare" or "" when not known
	SourceNitrate   *float64 // mg/L NO3 in the tap water
	Swings          Swings   // of the readings of late, where there are any
}

// TankOf is a tank of a size, with nothing else known.
func TankOf(size conflict.TankSize) *Tank {
	return &Tank{Tank: conflict.Tank{LengthCM: size.LengthCM, WidthCM: size.WidthCM, HeightCM: size.HeightCM}}
}

// Volume is the full inside volume in litres: from the dimensions, else as given; 0
// when neither is known.
func (t *Tank) Volume() float64 {
	if t == nil {
		return 0
	}
	if t.HasFootprint() && t.HeightCM > 0 && !t.ShapeTaken {
		return t.LengthCM * t.WidthCM * t.HeightCM / 1000
	}
	return t.VolumeL
}

// TankKey is a tank without pointers: equal keys are tanks alike in everything.
type TankKey struct {
	tank                                Tank
	change, source                      float64
	hasChange, hasSource                bool
	lid, mature, planted                bool
	lidKnown, matureKnown, plantedKnown bool
}

func KeyOf(t *Tank) TankKey {
	k := TankKey{tank: *t}
	k.change, k.hasChange = deref(t.WeeklyChange)
	k.source, k.hasSource = deref(t.SourceNitrate)
	k.lid, k.lidKnown = deref(t.Lid)
	k.mature, k.matureKnown = deref(t.FilterMature)
	k.planted, k.plantedKnown = deref(t.Planted)
	k.tank.WeeklyChange, k.tank.SourceNitrate, k.tank.Lid, k.tank.FilterMature, k.tank.Planted = nil, nil, nil, nil, nil
	return k
}

func deref[T any](p *T) (v T, ok bool) {
	if p == nil {
		return v, false
	}
	return *p, true
}

// Shaped is a tank whose volume alone is known as one of customary proportions; any other as it
// is.
func (t *Tank) Shaped() *Tank {
	if t == nil || t.HasFootprint() || t.VolumeL <= 0 {
		return t
	}
	out, size := *t, CustomaryShape(t.VolumeL)
	out.LengthCM, out.WidthCM, out.HeightCM, out.ShapeTaken = size.LengthCM, size.WidthCM, size.HeightCM, true
	return &out
}

// CustomaryShape is the tank of customary proportions with a volume in litres.
func CustomaryShape(litres float64) conflict.TankSize {
	size := units.CustomaryTank(litres)
	return conflict.TankSize{LengthCM: size.Length, WidthCM: size.Width, HeightCM: size.Height}
}
