package conflict

import (
	"math"

	"commensal/internal/species"
)

// Schoener is Schoener's overlap of two sets of shares that each sum to 1:
// D = 1 − ½ Σ|p − q|, 0 for no overlap and 1 for identical use (Schoener 1970,
// Ecology 51:408-418).
func Schoener(p, q [species.NumZones]float64) float64 {
	sum := 0.0
	for z := range p {
		sum += math.Abs(p[z] - q[z])
	}
	return clamp(1-sum/2, 0, 1)
}

// overlap is the zone overlap at one end of its uncertainty.
func overlap(p, q [species.NumZones]float64, known bool, e end) float64 {
	if !known {
		return [numEnds]float64{0, unknownMeeting, 1}[e]
	}
	d := Schoener(p, q)
	return [numEnds]float64{max(0, d-zoneUncertainty), d, min(1, d+zoneUncertainty)}[e]
}

// meeting is the multiplier of harms that need the two to meet: 1 where they use
// the same levels, never below the floor that a chase across zones leaves.
func (m *Model) meeting(a, b *Profile, e end) float64 {
	d := overlap(a.zones, b.zones, a.zonesKnown && b.zonesKnown, e)
	return m.w.ZoneFloor + (1-m.w.ZoneFloor)*d
}

// sharedTable is the overlap of the levels at which the two feed.
func (m *Model) sharedTable(a, b *Profile, e end) float64 {
	return overlap(a.feedAt, b.feedAt, a.feedsSet && b.feedsSet, e)
}
