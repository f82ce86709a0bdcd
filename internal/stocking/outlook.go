package stocking

import (
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

// TemperAt is the share of adult temper and ground some months from now at the usual
// pace, up to 1.
func (g *LineGrowth) TemperAt(month int) float64 { return g.paths[usual].temperAt(float64(month)) }

// Commitment is how many years the youngest fish of a species still live in good care.
type Commitment struct {
	Lines []int
	Years species.Band
}

// Foresee is the outlook of a list, in its tank where one is given. A list that cannot
// be judged gives an [*InputError]. The order of the list never matters.
func Foresee(book *conflict.Book, s Stock) (Outlook, error) {
	if err := s.Validate(book); err != nil {
		return Outlook{}, err
	}
	j := NewAssessment(book, &s)
	j.Judge()
	return j.outlook(), nil
}

// outlook writes out what a finished judging foresaw.
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

// YouthAt is the line some months from now at the usual pace as package conflict takes it;
// adult in [Beyond].
func (g *LineGrowth) YouthAt(month int) conflict.Youth { return youthIn(&g.paths[usual], month) }
