package conflict

import (
	"math"

	"commensal/internal/species"
)

// zone states whether the two meet.
func (x *explainer) zone() Statement {
	s := Statement{Actor: x.a.Species, Other: x.b.Species}
	if !x.a.zonesKnown || !x.b.zonesKnown {
		s.Code = ZoneUnknown
		return s
	}
	d := Schoener(x.a.zones, x.b.zones)
	s.Evidence = []Evidence{{"overlap", d, "share"}}
	s.Words = []WordCode{zoneWord(x.a.zones), zoneWord(x.b.zones)}
	switch {
	case x.sameKind():
		s.Code = ZoneOwnKind
	case d >= 0.6:
		s.Code = ZoneSame
	case d >= 0.3:
		s.Code = ZonePartly
	default:
		s.Code = ZoneApart
	}
	return s
}

func zoneWord(share [species.NumZones]float64) WordCode {
	best := species.Surface
	for z := range species.Zone(species.NumZones) {
		if share[z] > share[best] {
			best = z
		}
	}
	if share[best] < 0.5 {
		return WordAllLevels
	}
	return [species.NumZones]WordCode{WordSurface, WordMiddle, WordBottom}[best]
}

// space states whether there is room.
func (x *explainer) space() Statement {
	needLength := max(x.a.tankLength, x.b.tankLength)
	needFloor := max(x.a.tankLength*x.a.tankWidth, x.b.tankLength*x.b.tankWidth)
	who, other := x.a, x.b
	if x.b.tankLength*x.b.tankWidth > x.a.tankLength*x.a.tankWidth {
		who, other = x.b, x.a
	}
	s := Statement{Actor: who.Species, Other: other.Species, Evidence: []Evidence{
		{"tank_length", x.c.LengthCM, "cm"}, {"footprint", x.c.FootprintCM2(), "cm2"},
		{"needed_length", needLength, "cm"}, {"needed_footprint", needFloor, "cm2"},
		{"tank_width", x.c.WidthCM, "cm"}, {"needed_width", who.tankWidth, "cm"},
		{"cover", x.c.Cover, "share"}, {"room_factor", x.t.room, "share"},
	}}
	switch {
	case x.t.cramped > 0:
		s.Code = SpaceTooSmall
	case x.c.ReferenceTank:
		s.Code = SpaceReference
	case x.t.room < 0.9:
		s.Code = SpaceRoomy
	case x.t.room > 1.1:
		s.Code = SpaceCrowded
	default:
		s.Code = SpaceEnough
	}
	return s
}

// feeding states who goes short, or whose food is wrong for the other.
func (x *explainer) feeding() Statement {
	d := heavier(x.t.race)
	fast, slow := x.side(d)
	race := risk(x.t.race[d] * x.t.zone)
	diet := risk(x.t.diet * x.t.zone)
	switch {
	case max(race, diet) < possibleRisk/2:
		return Statement{Code: FeedingFine, Actor: x.a.Species, Other: x.b.Species, Evidence: []Evidence{
			{"first_pace", x.a.read(species.FeedingPace), "grade"}, {"second_pace", x.b.read(species.FeedingPace), "grade"}}}
	case race >= diet:
		return Statement{Code: FeedingOutpaced, Actor: fast.Species, Other: slow.Species, Evidence: []Evidence{
			{"fast_pace", fast.read(species.FeedingPace), "grade"}, {"slow_pace", slow.read(species.FeedingPace), "grade"}}}
	}
	meat, green := x.a, x.b
	if green.animalFood > meat.animalFood {
		meat, green = green, meat
	}
	return Statement{Code: FeedingDiet, Actor: meat.Species, Other: green.Species, Evidence: []Evidence{
		{"animal_food_first", meat.animalFood, "share"}, {"animal_food_second", green.animalFood, "share"}}}
}

// breeding states hybrids and guarding parents.
func (x *explainer) breeding() Statement {
	d := heavier(x.t.guard)
	parent, other := x.side(d)
	switch {
	case x.t.hybrid > 0:
		return Statement{Code: BreedingHybrid, Actor: x.a.Species, Other: x.b.Species}
	case !x.sameKind() && risk(x.t.guard[d]) >= possibleRisk/2:
		return Statement{Code: BreedingGuards, Actor: parent.Species, Other: other.Species, Evidence: []Evidence{
			{"brood_guarding", parent.read(species.BroodGuarding), "grade"}}}
	case x.sameKind() && x.a.Species.Traits[species.FemalesPerMale].Known():
		return Statement{Code: BreedingRatio, Actor: x.a.Species, Other: x.b.Species, Evidence: []Evidence{
			{"females_per_male", math.Round(x.a.Species.Traits[species.FemalesPerMale].Typical*10) / 10, "ratio"}}}
	}
	return Statement{Code: BreedingNone, Actor: x.a.Species, Other: x.b.Species}
}
