package evidence

// FullMonths is for how long a pair must have been kept without trouble for the report to
// weigh one: a year has seen growth, spawning and a change of tank. Trade practice, no
// source. The table of shares counts with it too.
const FullMonths = 12.0

// MaxShare is the most that the reports of one organization on one pair weigh. Above it
// good and bad news are scaled down alike. With [PriorWeight] it means that one
// organization alone can move a score of 75 to no less than 52.
const MaxShare = 5.0

// Share is what one organization has reported of a pair.
type Share struct {
	Counts [NumOutcomes]int
	// FineMonths adds up the months of the reports without trouble, [FullMonths] at most
	// of each.
	FineMonths float64
}

// weights is what the share weighs for and against trouble.
func (s *Share) weights() (good, trouble float64) {
	good = s.FineMonths / FullMonths
	for _, n := range s.Counts[Harassed:] {
		trouble += float64(n)
	}
	if all := good + trouble; all > MaxShare {
		good, trouble = good*MaxShare/all, trouble*MaxShare/all
	}
	return good, trouble
}

// Tally is what all organizations together have reported of a pair. Tallies compare with
// ==.
type Tally struct {
	Counts        [NumOutcomes]int // reports as they came
	Organizations int
	Good, Trouble float64 // what they weigh
}

// Add counts the share of one more organization.
func (t *Tally) Add(s Share) {
	for o, n := range s.Counts {
		t.Counts[o] += n
	}
	good, trouble := s.weights()
	t.Good, t.Trouble, t.Organizations = t.Good+good, t.Trouble+trouble, t.Organizations+1
}

// Reports is the number of reports.
func (t *Tally) Reports() (n int) {
	for _, of := range t.Counts {
		n += of
	}
	return n
}

// TroubleReports is the number of reports of any trouble.
func (t *Tally) TroubleReports() int { return t.Reports() - t.Counts[Fine] }

// Weight is what the reports weigh together.
func (t *Tally) Weight() float64 { return t.Good + t.Trouble }

// FewestTold is the number of organizations from which on their number is told. With
// three, none of them that takes away what it reported itself is left with what a single
// other one did.
const FewestTold = 3

// AtLeast is the number of organizations as it is told to everybody: 0 below
// [FewestTold], else rounded down to 3, 5, 10, 20, 50, 100 and so on, so that it seldom
// moves when one joins.
func (t *Tally) AtLeast() (told int) {
	if t.Organizations < FewestTold {
		return 0
	}
	told = FewestTold
	for tens := 1; ; tens *= 10 {
		for _, step := range [...]int{5 * tens, 10 * tens, 20 * tens} {
			if step > t.Organizations {
				return told
			}
			told = step
		}
	}
}
