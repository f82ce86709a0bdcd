package stocking

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/waterchem"
)

// How young fish are told from adults: common practice, no source.
const (
	// adultShare is the share of its adult length from which a fish is called adult: the
	// growth curve nears that length and never reaches it.
	adultShare = 0.95
	// youngTemper is the share of adult temper and ground that a hatchling shows; it
	// rises in proportion to age and is 1 at the age of maturity.
	youngTemper = 0.25
)

// pace is how fast a line grows and matures within the bands of the catalogue: the
// fast pace has the highest growth coefficient and the earliest maturity.
type pace uint8

const (
	fast pace = iota
	usual
	slow

	numPaces = int(slow) + 1
)

// of is the value of a trait at a pace where more of it is faster.
func (p pace) of(b species.Band) float64 { return [numPaces]float64{b.High, b.Typical, b.Low}[p] }

// course is how one line grows up at one pace, after von Bertalanffy (see
// [waterchem.Growth]), from its present length. Arrays are by sex: of a fish whose sex
// nobody told, a male, a female.
type course struct {
	from, adult [3]float64 // cm
	k           float64    // 1/year; 0 where it is not on record: the length stands still
	age         float64    // months today
	mature      float64    // months of age; 0 for mature from the start
	grown       float64    // months from now to adulthood; infinite without k
}

// courseOf reads the course of a line; ok is false for a line that is adult already, or
// that must be taken as adult because neither length nor age is given or the adult
// length is not on record.
func courseOf(r *Resident, p pace) (c course, ok bool) {
	if r.LengthCM <= 0 && r.AgeMonth <= 0 {
		return c, false
	}
	for sex := range c.adult {
		v := r.Species.Trait(species.Length, toldSex(r, species.Sex(sex)))
		if !v.Known() {
			return c, false
		}
		c.adult[sex] = v.Typical
	}
	if k, known := r.Band(species.GrowthK); known {
		c.k = p.of(k)
	}
	if !c.start(r) {
		return c, false
	}
	if m, known := r.Band(species.Maturity); known && c.k > 0 {
		c.mature = [numPaces]float64{m.Low, m.Typical, m.High}[p]
	}
	c.grown = max(c.untilGrown(), c.mature-c.age)
	return c, c.grown > 0
}

// toldSex is the sex whose values stand for a fish of the given sex in the line.
func toldSex(r *Resident, sex species.Sex) species.Sex {
	if kept := keptSex(r.Species, r.Sex); kept != species.Unsexed {
		return kept
	}
	return sex
}

// start sets the present lengths and age, each from the other where only one is given;
// false where that makes the fish adult.
func (c *course) start(r *Resident) bool {
	c.age = r.AgeMonth
	if r.LengthCM > 0 {
		for sex := range c.from {
			c.from[sex] = r.LengthCM
		}
		if c.age <= 0 && c.k > 0 {
			years, err := c.curve(0).AgeAt(r.LengthCM)
			if err != nil {
				years = math.Inf(1) // longer than the curve ever gets: adult
			}
			c.age = years * monthsPerYear
		}
		return true
	}
	if c.k <= 0 {
		return false
	}
	for sex := range c.from {
		length, err := c.curve(sex).LengthAt(c.age / monthsPerYear)
		if err != nil {
			return false
		}
		c.from[sex] = length
	}
	return true
}

func (c *course) curve(sex int) waterchem.Growth { return waterchem.Growth{LInf: c.adult[sex], K: c.k} }

// untilGrown is the months until every sex of the line has adultShare of its length.
func (c *course) untilGrown() (months float64) {
	for sex := range c.adult {
		months = max(months, c.monthsTo(sex, adultShare*c.adult[sex]))
	}
	return months
}

// monthsTo is the months until a sex has a length: 0 when it has it already, infinite
// when it never gets so long.
func (c *course) monthsTo(sex int, length float64) float64 {
	if length <= c.from[sex] {
		return 0
	}
	if c.k <= 0 {
		return math.Inf(1)
	}
	years, err := c.curve(sex).TimeBetween(c.from[sex], length)
	if err != nil {
		return math.Inf(1)
	}
	return years * monthsPerYear
}

// lengthAt is the length of a sex some months from now in cm. From adulthood on it is the
// adult length; a fish that is longer already does not shrink, and today it is as told.
func (c *course) lengthAt(sex int, months float64) float64 {
	from, adult := c.from[sex], c.adult[sex]
	switch {
	case from >= adult || months <= 0:
		return from
	case months >= c.grown:
		return adult
	}
	length := from
	if c.k > 0 {
		length = from - (adult-from)*math.Expm1(-c.k*months/monthsPerYear)
	}
	return length
}

// temperAt is the share of adult temper and ground some months from now, youngTemper
// to 1; it never falls.
func (c *course) temperAt(months float64) float64 {
	age := c.age + months
	if age >= c.mature || months >= c.grown {
		return 1
	}
	return youngTemper + (1-youngTemper)*age/c.mature
}

// youthAt is the line some months from now as package conflict takes it.
func (c *course) youthAt(months float64) (y conflict.Youth) {
	for sex := range y.LengthCM {
		y.LengthCM[sex] = c.lengthAt(sex, months)
	}
	y.Unripe = 1 - c.temperAt(months)
	return y
}
