package work

// What work is likely to take, in units, from the size of what is asked. The budget holds it
// to what it may take; this only decides where it waits.

// months is how many times a pairing of growing fish is looked at.
const months = 10

// Pairs is the number of pairings among so many lines.
func Pairs(lines int) int64 { return int64(lines) * int64(lines+1) / 2 }

// grown is how often each pairing is looked at.
func grown(growing bool) int64 {
	if growing {
		return months
	}
	return 1
}

// PriceOfCheck is for a list that is judged, with remedies and a split where it is short.
func PriceOfCheck(lines int, growing bool) int64 {
	price := 3 * Pairs(lines) * grown(growing)
	if lines <= 40 {
		price *= 6
	}
	return price
}

// PriceOfShortCheck is for a list that is judged for the short form.
func PriceOfShortCheck(lines int, growing bool) int64 { return 2 * Pairs(lines) * grown(growing) }

// PriceOfAdditions is for ranking kinds against a list; told is how many are told of.
func PriceOfAdditions(lines, kinds, told int, growing bool) int64 {
	price := Pairs(lines)*grown(growing) + int64(kinds)*int64(lines+1)
	if growing {
		price += int64(told) * Pairs(lines+1) * months
	}
	return price
}

// PriceOfGroupings is for splitting a list over tanks; none stands for as many as it takes.
func PriceOfGroupings(lines, tanks int, growing bool) int64 {
	return 4*Pairs(lines)*grown(growing) + 4*int64(lines)*int64(max(tanks, 2))
}

// PriceOfPlacements is for so many arrivals, each tried in every tank; pairs are those of
// the lines that live in each tank, together, and lived those lines.
func PriceOfPlacements(arrivals int, lived, pairs int64, growing bool) int64 {
	return (pairs + int64(arrivals)*(pairs+lived)) * grown(growing)
}
