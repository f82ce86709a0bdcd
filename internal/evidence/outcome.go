package evidence

// Outcome is how a keeping went.
type Outcome uint8

// The outcomes. All but the first are trouble.
const (
	Fine     Outcome = iota // no trouble was seen
	Harassed                // one was chased, bullied or kept from food, and not hurt
	Injured                 // one was hurt
	Killed                  // one died of the other

	// NumOutcomes is the number of outcomes, not an outcome.
	NumOutcomes = int(Killed) + 1
)

// String is the outcome's word in the API.
func (o Outcome) String() string {
	return [...]string{"fine", "harassed", "injured", "killed"}[o]
}

// ParseOutcome reads an outcome's word.
func ParseOutcome(word string) (Outcome, bool) {
	for o := Fine; o <= Killed; o++ {
		if o.String() == word {
			return o, true
		}
	}
	return Fine, false
}
