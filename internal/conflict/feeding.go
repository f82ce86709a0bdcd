package conflict

import (
	"commensal/internal/species"
)

// Feeding: does one starve or get the wrong food. Common practice, no source.
const (
	// fairShare is the share of the food, between two, on which any keeper brings the
	// slower one through.
	fairShare = 0.45
	// leisurely is the pace of feeding up to which a fish leaves some for all, brisk that from
	// which it leaves what it cannot find.
	leisurely, brisk = 0.3, 0.5
	// unshyShort is the share of going short that a bold, quick feeder feels.
	unshyShort = 0.6
	// tableSteepness is the slope of the advantage at the table over ln(length ratio), and
	// tableEdge what numbers give on that scale: a shoal of smaller fish empties it too.
	tableSteepness, tableEdge = 1.5, 0.7
	// dietTolerance is the gap in the animal share of the diet that mixed feeding bridges.
	dietTolerance = 0.5
	// bustleMost is the greatest size advantage, in ln, that counts as bustle.
	bustleMost = 2.0
)

// The statements about feeding.
const (
	FeedingFine     Code = "feeding.fine"
	FeedingSlight   Code = "feeding.slight"
	FeedingOutpaced Code = "feeding.outpaced"
	FeedingMayMiss  Code = "feeding.may_miss"
	FeedingBustle   Code = "feeding.bustle"
	FeedingStrains  Code = "feeding.strains"
	FeedingDiet     Code = "feeding.diet"
)

// The one-sentence summaries of feeding.
const (
	SummaryFeeding    Code = "summary.feeding"
	SummaryMayFeeding Code = "summary.may_feeding"
	SummaryDiet       Code = "summary.diet"
	SummaryStrains    Code = "summary.strains"
)

// feedingWeights are the fitted numbers of this factor.
var feedingWeights = []WeightSpec{
	{"feeding_race", "hazard of one that gets nothing at the same table", 1.2, 0.3, 4, func(w *Weights) *float64 { return &w.FeedingRace }},
	{"race_floor", "share of the race that reaches across levels: the fast look for food beyond their own", 0.12, 0.005, 0.8, func(w *Weights) *float64 { return &w.RaceFloor }},
	{"bustle", "hazard of large, quick, restless company for one that is shy and slow", 0.26, 0.01, 1.5, func(w *Weights) *float64 { return &w.Bustle }},
	{"bustle_from", "how much smaller, in ln of the length, such company may be before it no longer matters", 0.55, 0.1, 2, func(w *Weights) *float64 { return &w.BustleFrom }},
	{"diet_clash", "hazard of feeding a greedy grazer and a carnivore at the same table; a small thing by itself", 0.32, 0.05, 0.8, func(w *Weights) *float64 { return &w.DietClash }},
	{"starving", "hazard of a strainer of the water in any tank that is kept clean for others", 0.15, 0.02, 1, func(w *Weights) *float64 { return &w.Starving }},
}

// feed fills in what the two do to each other at the table.
func (m *Model) feed(t *terms, a, b *fish, e end, own bool) {
	shared := m.sharedTable(a, b, e)
	reach := m.raceReach(shared)
	if !a.fedByTank && !b.fedByTank {
		t.race[0] = reach * shortage(&a.actor, &b.victim)
		t.race[1] = reach * shortage(&b.actor, &a.victim)
	}
	if a.spineless != b.spineless || a.spineless {
		if a.strains || b.strains {
			t.strains = m.w.Starving
		}
		return
	}
	t.diet = m.w.DietClash * shared * dietGap(a, b)
	if !own {
		t.bustle[0] = m.bustleHazard(&a.actor, &b.victim)
		t.bustle[1] = m.bustleHazard(&b.actor, &a.victim)
	}
}

// raceReach is the hazard of one that gets nothing, by the share of the table that is the same.
func (m *Model) raceReach(shared float64) float64 {
	return m.w.FeedingRace * (m.w.RaceFloor + (1-m.w.RaceFloor)*shared*(2-shared))
}

// bustleHazard is what the mere bustle of i does to j, which hides and stops feeding.
func (m *Model) bustleHazard(i *actor, j *victim) float64 {
	return m.w.Bustle * i.bustle * j.shy * m.looms(i.lnStrong, j.lnWeak)
}

// looms is how large company is in the eyes of a fish, by the ln of what is strong in the one and weak
// in the other: 0 for company so small that its bustle does not matter.
func (m *Model) looms(lnStrong, lnWeak float64) float64 {
	return min(max(0, lnStrong-lnWeak+m.w.BustleFrom), bustleMost)
}

// dietGap is how wrong the food of one is for the other, 0 to 1: the gap in animal
// matter beyond what mixed feeding bridges, felt by a grazer that storms whatever is
// fed (squared pace) and hardly by one that rasps wood and wafers at night. An eater of
// plankton does well on the fine greens that the grazer needs.
func dietGap(a, b *fish) float64 {
	return max(a.greed()*beyondGreens(b.meat(), a.animalFood), b.greed()*beyondGreens(a.meat(), b.animalFood))
}

// beyondGreens is the gap between the animal matter of one diet and of a greener one that mixed feeding does not bridge,
// 0 to 1.
func beyondGreens(meat, green float64) float64 {
	return max(0, meat-green-dietTolerance) / (1 - dietTolerance)
}

// greed is how a grazer storms whatever is fed.
func (f *fish) greed() float64 { return f.actor.pace * f.actor.pace }

// meat is the animal matter in a diet that is wrong for a grazer.
func (f *fish) meat() float64 {
	if f.planktivore {
		return 0
	}
	return f.animalFood
}

// shortage is how short j goes beside i at the same food, 0 to 1. What each gets goes by
// its pace; what is missing to the share on which a keeper can still bring it through is
// worse for the shy and slow, and less where i is far the smaller and soon full, or takes
// its time itself.
func shortage(i *actor, j *victim) float64 {
	return lacking(i.pace, j.pace) * hurry(i.pace) * goesShort(j.shy) * chance(i.table, j.table)
}

// lacking is what the slow one lacks of the share on which a keeper brings it through.
func lacking(fast, slow float64) float64 {
	return max(0, 1-slow/max(fast+slow, 1e-9)/fairShare)
}

// hurry is how little a fish leaves for others by its pace, 0 to 1, and goesShort how one feels it by its shyness.
func hurry(pace float64) float64    { return clamp((pace-leisurely)/(brisk-leisurely), 0, 1) }
func goesShort(shy float64) float64 { return unshyShort + (1-unshyShort)*shy }

// hungry is the hazard of direction d at the table.
func (t *terms) hungry(d int) float64 { return t.race[d] + t.bustle[d] }

// feeding states who goes short, or whose food is wrong for the other.
func (x *explainer) feeding() Statement {
	d := heavier([2]float64{x.t.hungry(0), x.t.hungry(1)})
	fast, slow := x.side(d)
	short := risk(x.t.hungry(d) * x.t.zone)
	diet, strains := risk(x.t.diet*x.t.zone), risk(x.t.strains)
	s := Statement{Actor: fast.Species, Other: slow.Species, Evidence: []Evidence{
		{"fast_pace", fast.read(species.FeedingPace), "grade"}, {"slow_pace", slow.read(species.FeedingPace), "grade"}}}
	all := risk((x.t.hungry(0)+x.t.hungry(1)+x.t.diet)*x.t.zone + x.t.strains)
	switch worst := max(short, diet, strains); {
	case all < possibleRisk/5:
		s.Code, s.Actor, s.Other = FeedingFine, x.a.Species, x.b.Species
		s.Evidence[0] = Evidence{"first_pace", x.a.read(species.FeedingPace), "grade"}
		s.Evidence[1] = Evidence{"second_pace", x.b.read(species.FeedingPace), "grade"}
	case worst == strains:
		return x.strainer()
	case worst == diet:
		return x.diets()
	case worst < possibleRisk:
		s.Code = FeedingSlight
	case x.t.bustle[d] > x.t.race[d]:
		s.Code = FeedingBustle
	default:
		s.Code = pick(worst >= certainRisk/2, FeedingOutpaced, FeedingMayMiss)
	}
	return s
}

// strainer states that a strainer of the water starves.
func (x *explainer) strainer() Statement {
	who, other := x.a, x.b
	if !who.strains {
		who, other = other, who
	}
	return Statement{Code: FeedingStrains, Actor: who.Species, Other: other.Species}
}

// diets states whose food is wrong for whom.
func (x *explainer) diets() Statement {
	meat, green := x.a, x.b
	if green.animalFood > meat.animalFood {
		meat, green = green, meat
	}
	return Statement{Code: FeedingDiet, Actor: meat.Species, Other: green.Species, Evidence: []Evidence{
		{"animal_food_first", meat.animalFood, "share"}, {"animal_food_second", green.animalFood, "share"}}}
}

// starvation is the summary of a pairing whose main reason is feeding.
func (x *explainer) starvation(level Level) Statement {
	d := heavier([2]float64{x.t.hungry(0), x.t.hungry(1)})
	switch worst := max(x.t.hungry(d)*x.t.zone, x.t.diet*x.t.zone, x.t.strains); worst {
	case x.t.strains:
		s := x.strainer()
		s.Code = SummaryStrains
		return s
	case x.t.hungry(d) * x.t.zone:
		return x.directed(pick(level > Moderate, SummaryFeeding, SummaryMayFeeding), d)
	}
	return Statement{Code: SummaryDiet, Actor: x.a.Species, Other: x.b.Species}
}
