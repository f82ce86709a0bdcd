package conflict

import (
	"math"
	"slices"

	"commensal/internal/species"
)

// Space: is there room to keep apart, and is there a tank that holds both. Common practice,
// no source.
const (
	// personalSpace is the radius, in own lengths, that even a fish without a
	// territory keeps around itself.
	personalSpace = 0.5
	// roomFloor and roomCeiling bound the room multiplier.
	roomFloor, roomCeiling = 0.3, 2.5
	// NormalCover is the cover of a normally furnished tank, 0 to 1.
	NormalCover = 0.5
	// giantFrom is the tank length in cm from which hardly anyone can house a fish.
	giantFrom = 250.0
)

// The statements about space.
const (
	SpaceReference Code = "space.reference"
	SpaceGiant     Code = "space.giant"
	SpaceNoTank    Code = "space.no_tank"
	SpaceLand      Code = "space.land"
	SpaceTooSmall  Code = "space.too_small"
	SpaceRoomy     Code = "space.roomy"
	SpaceEnough    Code = "space.enough"
	SpaceCrowded   Code = "space.crowded"
)

// The one-sentence summaries of space.
const (
	SummaryRoom   Code = "summary.space"
	SummaryNoTank Code = "summary.space_no_tank"
	SummaryLand   Code = "summary.space_land"
)

// spaceWeights are the fitted numbers of this factor.
var spaceWeights = []WeightSpec{
	{"giant", "hazard of each e-fold of the tank length beyond 250 cm: no customary tank holds such a fish", 0.6, 0.1, 3, func(w *Weights) *float64 { return &w.Giant }},
	{"land", "hazard of an animal that needs land beside one that needs a full tank", 0.3, 0.05, 2, func(w *Weights) *float64 { return &w.Land }},
	{"room_power", "exponent on the defended ground for each floor, against the customary; higher makes room matter more", 0.3, 0.02, 1, func(w *Weights) *float64 { return &w.RoomPower }},
	{"cover_effect", "how far full instead of no cover calms, in ln of the hazard", 1, 0.05, 3, func(w *Weights) *float64 { return &w.CoverEffect }},
	{"cramped", "hazard of each doubling of what is needed over what there is, in a tank below the customary minimum", 0.6, 0.05, 2, func(w *Weights) *float64 { return &w.Cramped }},
}

// Ground is the floor in cm² that the line's territories defend in typical years.
func (p *Profile) Ground() float64 { return p.ground() }

func (w *berth) ground() float64 { return w.territories * w.plot }

// GroundAs is what [Profile.Ground] would be if the same fish were young so.
func (p *Profile) GroundAs(y Youth) float64 {
	ind := p.Individual
	ind.LengthCM, ind.Youth = 0, y
	return p.territories * reader{sp: p.Species, ind: ind}.ground(typical)
}

// ground is the floor in cm² of one territory, at least the space that a body needs.
func (r reader) ground(e end) float64 {
	radius := max(r.ind.Youth.ripe()*r.largest(species.Territory, e), personalSpace*r.largest(species.Length, e))
	return math.Pi * radius * radius
}

// territories is how many separate territories n fish of the kind claim.
func (r reader) territories(n float64) float64 {
	switch r.sp.Social {
	case species.Pair:
		return math.Ceil(n / 2)
	case species.Harem:
		if v := r.sp.Trait(species.FemalesPerMale, keptAs(r.sp, r.ind)); v.Known() {
			return math.Ceil(n / (1 + v.Typical))
		}
		return math.Ceil(n / 3)
	case species.Group, species.Colony:
		// A shoal roams as one; its ground grows with the head count.
		return max(1, n/max(1, r.typical(species.GroupMin)))
	}
	return n
}

// count is the number of fish in the line.
func (r reader) count() float64 {
	if n := float64(r.ind.Count); n > 0 {
		return n
	}
	return r.typical(species.GroupMin)
}

// oneGroup reports whether two profiles are one and the same group of fish, met by itself.
func oneGroup(a, b *Profile) bool {
	return a == b || a.Species == b.Species && a.Individual == b.Individual
}

// roomFor is the multiplier of aggression for crowding and cover: 1 for the customary
// groups in the customary tank with normal cover. It falls as the footprint or the cover
// grows and rises with the ground that others defend, and is bounded both ways.
func (m *Model) roomFor(a, b *berth, c *Conditions, oneGroup bool) float64 {
	if c.ReferenceTank && c.Cover == NormalCover && a.customary && b.customary && c.OthersGroundCM2 == 0 {
		return 1
	}
	ground, usual := a.ground(), a.usualGround*a.plot
	if !oneGroup {
		ground += b.ground()
		usual += b.usualGround * b.plot
	}
	floor := max(a.tankLength, b.tankLength) * max(a.tankWidth, b.tankWidth)
	crowding := (ground + c.OthersGroundCM2) / usual * floor / max(c.FootprintCM2(), 1)
	return clamp(math.Exp(m.w.RoomPower*math.Log(crowding)-m.w.CoverEffect*(c.Cover-NormalCover)), roomFloor, roomCeiling)
}

// cramped is the hazard of a tank below the customary minimum of either species;
// nothing in a tank that meets both.
func (m *Model) cramped(a, b *berth, c *Conditions) float64 {
	over := max(a.tankLength, b.tankLength) / max(c.LengthCM, 1)
	over = max(over, max(a.tankLength*a.tankWidth, b.tankLength*b.tankWidth)/max(c.FootprintCM2(), 1))
	if over <= 1 {
		return 0
	}
	return m.w.Cramped * math.Log2(over)
}

// housing is the hazard that no customary tank holds the two: giants, and animals of the
// land beside those of the water.
func (m *Model) housing(a, b *fish) float64 {
	h := max(a.giant, b.giant)
	if a.land != b.land {
		h += m.w.Land
	}
	return h
}

// giant is the hazard that no customary tank holds a fish whose tank is so long in cm.
func (m *Model) giant(length float64) float64 {
	if length <= giantFrom {
		return 0
	}
	return m.w.Giant * math.Log(length/giantFrom)
}

func needsLand(sp *species.Species) bool { return slices.Contains(sp.Needs, "land_area") }

// larger is the line that needs the larger tank, and the other.
func (x *explainer) larger() (who, other *Profile) {
	if x.b.tankLength*x.b.tankWidth > x.a.tankLength*x.a.tankWidth {
		return x.b, x.a
	}
	return x.a, x.b
}

// space states whether there is room.
func (x *explainer) space() Statement {
	who, other := x.larger()
	s := Statement{Actor: who.Species, Other: other.Species, Evidence: []Evidence{
		{"tank_length", x.c.LengthCM, "cm"}, {"footprint", x.c.FootprintCM2(), "cm2"},
		{"needed_length", max(x.a.tankLength, x.b.tankLength), "cm"},
		{"needed_footprint", who.tankLength * who.tankWidth, "cm2"},
		{"tank_width", x.c.WidthCM, "cm"}, {"needed_width", who.tankWidth, "cm"},
		{"cover", x.c.Cover, "share"}, {"room_factor", x.t.room, "share"},
	}}
	s.Code = x.spaceCode()
	if s.Code == SpaceLand && other.land {
		s.Actor, s.Other = other.Species, who.Species
	}
	return s
}

func (x *explainer) spaceCode() Code {
	giant := max(x.a.tankLength, x.b.tankLength) > giantFrom
	switch {
	case x.a.land != x.b.land && (!giant || x.t.cramped == 0):
		return SpaceLand
	case giant:
		return pick(risk(x.t.housing) >= possibleRisk, SpaceNoTank, SpaceGiant)
	case x.t.cramped > 0:
		return SpaceTooSmall
	case x.c.ReferenceTank:
		return SpaceReference
	case x.t.room < 0.9:
		return SpaceRoomy
	case x.t.room > 1.1:
		return SpaceCrowded
	}
	return SpaceEnough
}

// roomSummary is the summary of a pairing whose main reason is space.
func (x *explainer) roomSummary() Statement {
	s := x.space()
	switch s.Code {
	case SpaceLand:
		s.Code = SummaryLand
	case SpaceNoTank, SpaceGiant:
		s.Code = SummaryNoTank
	default:
		s.Code = SummaryRoom
	}
	return s
}
