package conflict

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

// extremes evaluates the pairing at the kinder and the harsher ends of every trait.
func (m *Model) extremes(a, b *Profile, c *Conditions, value float64) [2]float64 {
	low, high := m.evaluate(a, b, c, kinder), m.evaluate(a, b, c, harsher)
	l, h := low.sums(), high.sums()
	return [2]float64{min(value, 100*risk(l.total())), max(value, 100*risk(h.total()))}
}

// BandAt is the band of a score where no trait is missing.
func BandAt(value float64) [2]float64 { return bandOf(value, 0) }
