package conflict

import "math"

// Ground is the floor in cm² that the line's territories defend in typical years.
func (p *Profile) Ground() float64 { return p.groundAt(typical) }

func (p *Profile) groundAt(e end) float64 { return p.territories * p.actor[e].ground }

// roomFor is the multiplier of aggression for crowding and cover. It falls as the
// footprint or the cover grows, is 1 at customary crowding with normal cover,
// and is bounded both ways.
func (m *Model) roomFor(a, b *Profile, c *Conditions, e end) float64 {
	ground := a.groundAt(e) + c.OthersGroundCM2
	if a != b {
		ground += b.groundAt(e)
	}
	crowding := ground / max(c.FootprintCM2(), 1)
	crowded := math.Log((crowding + crowdOffset) / (crowdedAt + crowdOffset))
	return clamp(math.Exp(m.w.RoomPower*crowded-coverEffect*(c.Cover-NormalCover)), roomFloor, roomCeiling)
}

// cramped is the hazard of a tank below the customary minimum of either species;
// nothing in a tank that meets both.
func cramped(a, b *Profile, c *Conditions) float64 {
	length := max(a.tankLength, b.tankLength) / max(c.LengthCM, 1)
	floor := max(a.tankLength*a.tankWidth, b.tankLength*b.tankWidth) / max(c.FootprintCM2(), 1)
	if over := max(length, floor); over > 1 {
		return crampedHazard * math.Log2(over)
	}
	return 0
}
