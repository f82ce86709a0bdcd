package stocking

import (
	"math"

	"commensal/internal/species"
)

// When a tank is called crowded: common practice put into numbers, no source.
const (
	// swimRadius is the radius, in own lengths, of the water each fish is given when
	// the fish are laid out side by side.
	swimRadius = 0.5
	// levelCrowdedAt and tankCrowdedAt are the shares of the footprint that the fish of
	// one level, and all fish, may cover so.
	levelCrowdedAt = 0.25
	tankCrowdedAt  = 0.5
	// piledShare is the share of that water that shoals of the bottom take up there: loaches
	// and catfish lie on one another by choice, from bottomFrom of their time spent there.
	piledShare, bottomFrom = 0.6, 0.5
	// groundCrowdedAt is the ratio of defended ground to footprint; at half of it
	// package conflict sees customary crowding.
	groundCrowdedAt = 4.0
)

// Crowding is what fish take of a footprint, in cm²: the ground they defend, and the water
// they swim in when all are laid out side by side, in all and at each level.
type Crowding struct {
	Ground float64
	Swum   float64
	Levels [species.NumZones]float64
}

// Crowding adds up what all lines take.
func (j *Assessment) Crowding() (c Crowding) {
	for i := range j.Lines {
		c.Add(&j.Lines[i])
	}
	return c
}

// Add adds what a line takes. Fish of unknown levels are spread evenly; what piles up on
// the ground takes less of that level.
func (c *Crowding) Add(r *Resident) {
	radius := swimRadius * r.Profile.Length()
	area := math.Pi * radius * radius * float64(r.Fish)
	c.Ground += r.Ground
	c.Swum += area
	for z := range c.Levels {
		share := 1 / float64(species.NumZones)
		if r.Species.Zones.Known() {
			share = r.Species.Zones.Share[z]
		}
		c.Levels[z] += area * share * piled(r, species.Zone(z))
	}
}

// overGround, overAll and overLevel report too much ground defended, too many fish in all
// and too many at one level, for a floor in cm².
func (c *Crowding) overGround(floor float64) bool { return c.Ground > groundCrowdedAt*floor }
func (c *Crowding) overAll(floor float64) bool    { return c.Swum > SwimRoom(floor) }
func (c *Crowding) overLevel(z species.Zone, floor float64) bool {
	return c.Levels[z] > levelCrowdedAt*floor
}

// Over reports whether the fish crowd a floor of so many cm² in any way: what a check says
// with the codes [GroundCrowded], [TankCrowded] and [ZoneCrowded].
func (c *Crowding) Over(floor float64) bool {
	for z := range species.Zone(species.NumZones) {
		if c.overLevel(z, floor) {
			return true
		}
	}
	return c.overGround(floor) || c.overAll(floor)
}

// SwimRoom is the area in cm² that fish laid side by side may cover of a floor.
func SwimRoom(floor float64) float64 { return tankCrowdedAt * floor }

// piled is the share of its area that a line takes up at one level.
func piled(r *Resident, z species.Zone) float64 {
	if z == species.Bottom && Shoals(r.Species) && r.Species.Zones.Share[z] >= bottomFrom {
		return piledShare
	}
	return 1
}

const (
	// shapeSlack is how far a tank of one volume is often larger than the customary shape any way; broadSlack how much
	// more floor the lowest have or height the tallest, and longSlack, its root, how far the former are longer. Common
	// practice, no source.
	shapeSlack, longSlack, broadSlack = 1.15, 1.162, 1.35
	// justUnder is the share of the least customary minimum down to which a tank is a poor one and not
	// yet a wrong one: minimums are round figures.
	justUnder = 0.9
)

// Shortage is how far there is less of something than a species customarily has.
type Shortage uint8

// The shortages. What is exactly as large as is customary is enough.
const (
	Enough         Shortage = iota // or not on record
	BelowCustomary                 // less than the typical minimum
	BelowLeast                     // well below the low end of it
)

// guess is what there is of something in a tank, and the most there may be where its shape is taken.
type guess struct{ likely, most float64 }

// guessed is a guess of a measure in a tank of which shapes differ so far; of a known tank there is no other.
func (t *Tank) guessed(have, slack float64) guess {
	if t.ShapeTaken {
		return guess{have * shapeSlack, have * slack}
	}
	return guess{have, have}
}

// shortageOf compares what there is with what is needed. Nothing is short that the roomiest shape would
// have; what is well below the least is so of the likely one.
func shortageOf(have guess, need species.Band, known bool) Shortage {
	switch {
	case !known || have.most >= need.Typical:
		return Enough
	case have.likely >= need.Low*justUnder:
		return BelowCustomary
	}
	return BelowLeast
}

// SizeShortages is what a tank lacks for the adults of one line, whatever the length of the
// fish today: they are judged for life.
type SizeShortages struct {
	Length Shortage
	// Footprint is set only where it says more than Length.
	Footprint Shortage
	// Height is on record only where it matters more than usual.
	Height Shortage
}

// ShortFor is what a tank with a footprint lacks for a line.
func (t *Tank) ShortFor(r *Resident) (s SizeShortages) {
	length, okL := r.Band(species.TankLength)
	width, okW := r.Band(species.TankWidth)
	s.Length = shortageOf(t.guessed(t.LengthCM, longSlack), length, okL)
	floor := species.Band{Low: length.Low * width.Low, Typical: length.Typical * width.Typical}
	if f := shortageOf(t.guessed(t.LengthCM*t.WidthCM, broadSlack), floor, okL && okW); f > s.Length {
		s.Footprint = f
	}
	if height, ok := r.Band(species.TankHeight); t.HeightCM > 0 {
		s.Height = shortageOf(t.guessed(t.HeightCM, broadSlack), height, ok)
	}
	return s
}

// Any reports whether anything is short.
func (s SizeShortages) Any() bool { return s != SizeShortages{} }

// Severities are those of the findings about length, footprint and height, Note also where
// there is none: a low tank is never a stop.
func (s SizeShortages) Severities() [3]Severity {
	low := [...]Severity{Enough: Note, BelowCustomary: Note, BelowLeast: Advice}
	return [...]Severity{s.Length.severity(), s.Footprint.severity(), low[s.Height]}
}

// severity is how grave too short a tank or too small a floor is.
func (s Shortage) severity() Severity {
	return [...]Severity{Enough: Note, BelowCustomary: Advice, BelowLeast: Stop}[s]
}
