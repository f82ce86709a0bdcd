package conflict

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
