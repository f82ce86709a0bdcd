package stocking

import (
	"cmp"
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// The reach of an outlook.
const (
	// MaxMonths is how far ahead an outlook dates events.
	MaxMonths = 120
	// Beyond stands for a month later than MaxMonths, or one that cannot be told because
	// the growth of the species is not on record.
	Beyond = MaxMonths + 1
	// HoldWithin is the number of months within which a pairing that comes to stand
	// above the wanted level holds a sale: a fish is not sold into a conflict of its
	// first year. Later ones are advice. Common practice, no source.
	HoldWithin = 12
)

// Outlook is what changes as the fish grow up. Lines without length or age are adult
// from the start; where none grows, only commitments are left to say.
//
// Lengths follow von Bertalanffy curves from the present length, or from the age.
// Temper and ground come in proportion to age until maturity. The low, typical and high
// month of an event are those of the fast, usual and slow ends of the growth and
// maturity bands. An observed disposition counts as in the check.
type Outlook struct {
	// Horizon is the month in which the last line is adult, 0 when all are, and Beyond
	// where that is later than MaxMonths.
	Horizon int
	Growth  []LineGrowth // growing lines, in order of line, males before females
	Events  []Event      // soonest first, the gravest of one month first
	// Complete: Events has all there are. Else the budget ended first; what holds a list or
	// is advised about is among the findings all the same.
	Complete bool
	// Commitments are how long each species still has to be cared for.
	Commitments []Commitment
}

// Months is the earliest, likeliest and latest whole month from now in which something
// comes about, 0 for today; a value of [Beyond] is not dated.
type Months struct{ Low, Typical, High int }

// EventKind is a kind of event.
type EventKind string

// The kinds of event.
const (
	PairingRises  EventKind = "pairing_rises"      // First, Second: the pairing reaches Level
	OwnKindRises  EventKind = "own_kind_rises"     // First and Second are of one species, or one line
	OutgrowsTank  EventKind = "outgrows_length"    // First comes to need a longer tank
	OutgrowsFloor EventKind = "outgrows_footprint" // First comes to need a larger floor
	ClaimsGround  EventKind = "claims_ground"      // First matures and becomes territorial
)

// Event is one thing that comes about as the fish grow.
type Event struct {
	Kind          EventKind
	First, Second int // positions in Check.Lines; Second = First where only one is concerned
	Months        Months
	Level         conflict.Level // reached level of a pairing
	// Decision is what the event leads to in the check: Proceed for none.
	Decision Decision
	// When says the months, What the event, at the lengths of that day.
	When, What conflict.Statement
}

// LineGrowth is how one growing line grows up, for one sex.
type LineGrowth struct {
	Line  int
	Sex   species.Sex // Unsexed where the sexes grow alike or only one is kept
	Adult Months      // adulthood
	paths [numPaces]course
}

// LengthAt is the band of the length in cm some months from now, from slow to fast growth.
func (g *LineGrowth) LengthAt(month int) species.Band {
	var at [numPaces]float64
	for p := range at {
		at[p] = g.paths[p].lengthAt(int(g.Sex), float64(month))
	}
	return species.Band{
		Low: min(at[fast], at[usual], at[slow]), Typical: at[usual],
		High: max(at[fast], at[usual], at[slow]),
	}
}

// Commitment is how many years the youngest fish of a species still live in good care.
type Commitment struct {
	Lines []int
	Years species.Band
}

// outlook writes out what was foreseen of a judged list.
func (j *Assessment) outlook() Outlook {
	o := Outlook{Commitments: j.commitments(), Complete: true}
	if j.future == nil {
		return o
	}
	o.Growth = j.future.growth()
	for i := range o.Growth {
		o.Horizon = max(o.Horizon, o.Growth[i].Adult.Typical)
	}
	o.Events, o.Complete = j.future.events()
	return o
}

// commitments subtracts the age that is known from the life span.
func (j *Assessment) commitments() (out []Commitment) {
	for i := range j.Lines {
		life, ok := j.Lines[i].Band(species.Lifespan)
		if j.Lines[i].Kind != i || !ok {
			continue
		}
		f := finder{Assessment: j}
		c := Commitment{Lines: f.kindLines(i)}
		youngest := j.Lines[i].AgeMonth
		for _, l := range c.Lines {
			youngest = min(youngest, j.Lines[l].AgeMonth)
		}
		years := youngest / monthsPerYear
		c.Years = species.Band{Low: max(0, life.Low-years), Typical: max(0, life.Typical-years), High: max(0, life.High-years)}
		out = append(out, c)
	}
	return out
}

// events writes out everything that comes about, soonest first, then the highest level,
// then by line.
func (f *future) events() (out []Event, complete bool) {
	complete = true
	for i := range f.Pairs {
		if f.Budget.Ended() {
			complete = false
			break
		}
		if p := &f.Pairs[i]; f.changes(p) {
			for _, r := range f.risesOf(p, conflict.Low) {
				out = append(out, f.eventOf(&r))
			}
		}
	}
	for i := range f.growers {
		if f.growers[i].growing {
			out = f.tankEvents(out, i)
			out = f.groundEvent(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b Event) int {
		return cmp.Or(cmp.Compare(a.Months.Typical, b.Months.Typical), cmp.Compare(b.Level, a.Level),
			cmp.Compare(a.First, b.First), cmp.Compare(a.Second, b.Second))
	})
	return out, complete
}

// eventOf puts a rise into words at the lengths of that day.
func (f *future) eventOf(r *rise) Event {
	e := Event{Kind: PairingRises, First: r.pair.First, Second: r.pair.Second, Months: f.dated(r), Level: r.level, Decision: r.decision}
	e.When = when(e.Months)
	if f.Lines[e.First].Kind == f.Lines[e.Second].Kind {
		e.Kind = OwnKindRises
	}
	c := f.conditions(e.First, e.Second, r.month, usual)
	_, e.What = f.Brief(f.profile(e.First, r.month, usual), f.profile(e.Second, r.month, usual), &c)
	e.What = tipped(e.What, e.Kind)
	return e
}

// tipped says of a pairing whose main reason does not grow, such as water that suits one
// of them ill, that growing tips it over.
func tipped(s conflict.Statement, kind EventKind) conflict.Statement {
	switch s.Code {
	case conflict.SummaryWater, conflict.SummaryWaterLikes, conflict.SummaryDiet, conflict.SummaryFeeding, conflict.SummaryRoom, conflict.SummaryHybridisation:
		code := OutlookTips
		if kind == OwnKindRises {
			code = OutlookTipsOwn
		}
		return conflict.Statement{Code: code, Actor: s.Actor, Other: s.Other}
	}
	return s
}

// when says the months.
func when(m Months) conflict.Statement {
	s := conflict.Statement{Code: WhenBetween, Evidence: []conflict.Evidence{
		{Name: "month", Value: float64(m.Typical), Unit: "month"},
		{Name: "month_low", Value: float64(m.Low)}, {Name: "month_high", Value: float64(m.High)},
	}}
	switch {
	case m.Typical == 0:
		return conflict.Statement{Code: WhenNow}
	case m.Typical >= Beyond:
		return conflict.Statement{Code: WhenGrown}
	case m.High >= Beyond:
		s.Code, s.Evidence = WhenFrom, s.Evidence[:2]
	case m.Low == m.High:
		s.Code, s.Evidence = WhenAbout, s.Evidence[:1]
	}
	return s
}

// tankEvents dates when a growing line comes to need a longer tank or a larger floor
// than there is. What it needs is the customary minimum of adults in proportion to its
// length, the floor to the square of it: common practice, no source.
func (f *future) tankEvents(out []Event, i int) []Event {
	if !f.HasFootprint() {
		return out
	}
	r := &f.Lines[i]
	length, width := r.typical(species.TankLength, 0), r.typical(species.TankWidth, 0)
	short := f.Tank.ShortFor(r)
	have, need := f.Tank.LengthCM, length
	if short.Length > Enough {
		e := f.outgrows(i, OutgrowsTank, have/need)
		e.What.Code = OutlookTankLength
		e.What.Evidence = []conflict.Evidence{{Name: "tank_length", Value: have, Unit: "cm"}, {Name: "needed_length", Value: need, Unit: "cm"}}
		return append(out, e)
	}
	if short.Footprint > Enough {
		e := f.outgrows(i, OutgrowsFloor, math.Sqrt(have*f.Tank.WidthCM/(need*width)))
		e.What.Code = OutlookFootprint
		e.What.Evidence = []conflict.Evidence{
			{Name: "tank_length", Value: have, Unit: "cm"}, {Name: "tank_width", Value: f.Tank.WidthCM, Unit: "cm"},
			{Name: "needed_length", Value: need, Unit: "cm"}, {Name: "needed_width", Value: width, Unit: "cm"}}
		out = append(out, e)
	}
	return out
}

// outgrows dates when the first sex of a line passes a share of its adult length.
func (f *future) outgrows(i int, kind EventKind, share float64) Event {
	m := f.growers[i].months(func(c *course) float64 {
		first := c.grown
		for sex := range c.adult {
			first = min(first, c.monthsTo(sex, share*c.adult[sex]))
		}
		return first
	})
	return Event{Kind: kind, First: i, Second: i, Months: m, When: when(m), What: conflict.Statement{Actor: f.Lines[i].Species}}
}

// groundEvent dates when a line that defends ground as an adult matures.
func (f *future) groundEvent(out []Event, i int) []Event {
	r, g := &f.Lines[i], &f.growers[i]
	radius := r.typical(species.Territory, 0)
	fierce := max(r.typical(species.AggressionOthers, 0), r.typical(species.AggressionOwn, 0))
	if g.paths[usual].mature <= g.paths[usual].age || radius <= 0 || fierce < territorialFrom {
		return out
	}
	m := g.months(func(c *course) float64 { return min(c.grown, max(0, c.mature-c.age)) })
	return append(out, Event{Kind: ClaimsGround, First: i, Second: i, Months: m, When: when(m),
		What: conflict.Statement{Code: OutlookGround, Actor: r.Species, Evidence: []conflict.Evidence{
			{Name: "territory", Value: radius, Unit: "cm"}}}})
}
