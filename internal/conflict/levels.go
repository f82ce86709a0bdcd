package conflict

// Level is the verdict in one word.
type Level uint8

// The levels, from harmless to unthinkable.
const (
	Low      Level = iota // routinely kept together without trouble
	Moderate              // works with stated conditions
	High                  // usually ends badly
	Severe                // should not be done

	// NumLevels is the number of levels, not a level.
	NumLevels = int(Severe) + 1
)

// The lowest scores of moderate, high and severe. The score is a risk in per
// cent, so they are a quarter, an even chance and three quarters: figures that
// can be explained without a manual. The weights are fitted to these
// thresholds, never the other way round.
const (
	ModerateFrom = 25.0
	HighFrom     = 50.0
	SevereFrom   = 75.0
)

// LevelOf is the level of a score between 0 and 100.
func LevelOf(score float64) Level {
	switch {
	case score >= SevereFrom:
		return Severe
	case score >= HighFrom:
		return High
	case score >= ModerateFrom:
		return Moderate
	}
	return Low
}

// Ceiling is the score that must not be reached for the level to hold: 25 for
// low, 50 for moderate, 75 for high, and just above 100 for severe.
func (l Level) Ceiling() float64 {
	return [...]float64{ModerateFrom, HighFrom, SevereFrom, 100.5}[l]
}

// Floor is the lowest score of the level.
func (l Level) Floor() float64 {
	return [...]float64{0, ModerateFrom, HighFrom, SevereFrom}[l]
}

// String is the level's word in the API.
func (l Level) String() string {
	return [...]string{"low", "moderate", "high", "severe"}[l]
}

// ParseLevel reads a level's word.
func ParseLevel(s string) (Level, bool) {
	for l := Low; l <= Severe; l++ {
		if l.String() == s {
			return l, true
		}
	}
	return Low, false
}

// Factor is one of the seven questions the model asks of a pairing.
type Factor uint8

// The factors, in the order of every result.
const (
	SizeRatio    Factor = iota // can one swallow the other
	Temperament                // will one harass, bite or fight the other
	WaterRange                 // can one body of water suit both
	SwimmingZone               // do they meet
	Space                      // is there room to keep apart
	Feeding                    // does one starve or get the wrong food
	Breeding                   // guarding parents, hybrids

	// NumFactors is the number of factors, not a factor.
	NumFactors = int(Breeding) + 1
)

// String is the factor's key in the API.
func (f Factor) String() string {
	return [...]string{"size_ratio", "temperament", "water_range", "swimming_zone", "space", "feeding", "breeding"}[f]
}

// Reason is the chief cause of a score that is not low.
type Reason uint8

// The reasons.
const (
	NoReason Reason = iota
	Predation
	Aggression
	FinNipping
	Water
	FeedingClash
	OwnKind
	Hybridisation
	Room

	// NumReasons is the number of reasons, not a reason.
	NumReasons = int(Room) + 1
)

// String is the reason's key in the API.
func (r Reason) String() string {
	return [...]string{"none", "predation", "aggression", "fin_nipping", "water", "feeding", "own_kind", "hybridisation", "space"}[r]
}

// The band is where the level that careful keepers give lies in 8 of 10 pairs that the
// fit has not seen: it meets the level's quarter of the scale. It is narrow where the score is
// sure, at the ends, and wider where a trait is missing. `make calibrate` reports how many
// levels it holds and how wide it is.

// bandReach is how far the band goes below and above the score, at scores of 0, 25, 50, 75
// and 100, straight between them.
var bandReach = [5][2]float64{{0, 7}, {8, 8}, {9, 9}, {9, 8}, {7, 0}}

// missingWidens is by how much each missing trait widens the band, either way.
const missingWidens = 3.0

// bandOf is the band of a score with so many traits missing.
func bandOf(value float64, missing int) [2]float64 {
	at := clamp(value/25, 0, 4)
	i := min(int(at), 3)
	part := at - float64(i)
	below := bandReach[i][0]*(1-part) + bandReach[i+1][0]*part
	above := bandReach[i][1]*(1-part) + bandReach[i+1][1]*part
	more := missingWidens * float64(missing)
	return [2]float64{max(0, value-below-more), min(100, value+above+more)}
}

// BandAt is the band of a score where no trait is missing.
func BandAt(value float64) [2]float64 { return bandOf(value, 0) }
