package conflict

import "math/bits"

func bitCount(set int) int { return bits.OnesCount(uint(set)) }

// hybridCounts is the share of the strongest cause that hybridisation must reach to
// be named as the main reason when the two also quarrel: crossing cannot be undone.
const hybridCounts = 0.5

// reason names the strongest cause of a score that is not low. Causes are compared by
// their hazard as it acts, zone and room included.
func (t *terms) reason(a, b *Profile, level Level) Reason {
	if level == Low {
		return NoReason
	}
	meetRoom := t.zone * t.room
	clash := Aggression
	if OneKind(a.Species, b.Species) {
		clash = OwnKind
	}
	s := t.sums()
	by := [NumReasons]float64{}
	by[Predation] = s.swallow
	by[clash] += (s.clash + s.guard) * meetRoom
	by[FinNipping] = s.nip * t.zone
	by[Water] = s.water
	by[FeedingClash] = s.feed * t.zone
	by[Hybridisation] = s.hybrid
	by[Room] = s.cramped
	best := NoReason
	for r := Predation; int(r) < NumReasons; r++ {
		if by[r] > by[best] {
			best = r
		}
	}
	if s.hybrid > 0 && by[Hybridisation] >= hybridCounts*by[best] {
		return Hybridisation
	}
	return best
}
