package conflict

import (
	"math"
	"slices"

	"commensal/internal/species"
)

// end is the corner of the trait bands at which a term is evaluated.
type end uint8

// The ends: every uncertain trait at its kinder, its typical or its harsher value.
const (
	kinder end = iota
	typical
	harsher

	numEnds = int(harsher) + 1
)

// Individual is what is known about the fish themselves. The zero Individual is a
// customary group of adults.
type Individual struct {
	Count    int         // fish in the line; 0 for the customary group
	Sex      species.Sex // Unsexed for not told
	LengthCM float64     // present total length in cm; 0 for adult
	// Observed is the keeper's own experience of these very fish, over so many months.
	Observed       Disposition
	MonthsObserved float64
	// Youth is set for fish that are not yet adult.
	Youth Youth
}

// Profile is one species (or line of fish) made ready for scoring: the traits as
// numbers in the two roles a fish plays, at the three ends of their bands.
// Profiles are immutable and safe to share.
type Profile struct {
	Species    *species.Species
	Individual Individual

	actor  [numEnds]actor
	victim [numEnds]victim
	feedAt [species.NumZones]float64
	zones  [species.NumZones]float64
	water  [numEnds][species.NumParameters]accepts

	shock                float64 // hazard of a strong electric organ, for any tank mate
	animalFood           float64
	tankLength           float64
	tankWidth            float64
	tankHeight           float64
	territories          float64
	shortfall            float64
	genus                string
	shoals               bool // roams in company of its kind; a colony holds ground
	zonesKnown, feedsSet bool
	missing              []string
}

// actor is a fish as a source of harm; every field grows with harm.
type actor struct {
	lnLength  float64 // ln cm, the fish that presses
	lnLongest float64 // ln cm, largest sex
	lnPrey    float64 // ln cm, prey length at which taking is even
	lnGape    float64 // ln cm, prey depth at which taking is even
	piscivory float64
	appetite  float64 // piscivory to the fitted power
	pressure  float64 // aggression to others, on its curve
	fury      float64 // how far it does not let go, 0 to 1
	own       float64 // aggression to its own kind, squared
	alike     float64 // aggression to look-alikes, squared
	ground    float64 // cm² defended by one territory
	nipping   float64
	pace      float64
	guarding  float64 // to its power
	fins      float64 // how far its own fins are a show
	hunger    float64 // readiness to take small animals that are no fish, 0 to 1
	claws     float64
	lnGrip    float64 // ln cm, length at which its claws holding prey is even
	crush     float64 // readiness to get at an animal in its shell, 0 to 1
	// crushReach is the shell length it manages in its own lengths; 0 for no limit.
	crushReach float64
}

// victim is a fish as a sufferer of harm; every field but lengths grows with harm.
type victim struct {
	lnLength   float64 // ln cm, smallest sex
	lnEdge     float64 // ln cm, the fish that is pressed
	lnDepth    float64 // ln cm, body depth
	swallowed  float64 // what armour leaves of predation, 0 to 1
	nerve      float64 // how far it is cowed by pressure where nothing shields it, 0 to 1
	unshielded float64 // what armour leaves of blows, 0 to 1
	shy        float64 // timid and slow, 0 to 1
	nippable   float64
	fins       float64
	pace       float64
	spineless  bool // an invertebrate
	soft       bool // one without a shell
}

// Missing lists the keys of the traits the catalogue lacks for this species.
func (p *Profile) Missing() []string { return p.missing }

// Profile prepares a species for scoring.
func (m *Model) Profile(sp *species.Species, ind Individual) *Profile {
	p := &Profile{Species: sp, Individual: ind, genus: sp.Genus()}
	p.shoals = sp.Social == species.Group
	for _, t := range scored {
		if !sp.Trait(t, keptAs(sp, ind)).Known() {
			p.missing = append(p.missing, t.String())
		}
	}
	for w := range species.NumParameters {
		if !sp.Water[w].Known() {
			p.missing = append(p.missing, species.Parameter(w).String())
		}
	}
	r := reader{sp: sp, ind: ind}
	for e := kinder; e <= harsher; e++ {
		p.actor[e] = m.actorAt(r, e)
		p.victim[e] = m.victimAt(r, e)
		for w := range species.Parameter(species.NumParameters) {
			p.water[e][w] = acceptsAt(sp.Water[w], w, e)
		}
	}
	if slices.Contains(sp.Cautions, species.Electric) {
		p.shock = shockHazard
	}
	p.animalFood = r.typical(species.AnimalFood)
	p.tankLength = r.typical(species.TankLength)
	p.tankWidth = r.typical(species.TankWidth)
	p.tankHeight = sp.Traits[species.TankHeight].Typical
	p.zones, p.zonesKnown = sp.Zones.Share, sp.Zones.Known()
	p.feedAt, p.feedsSet = sp.FeedingZones.Share, sp.FeedingZones.Known()
	if !p.zonesKnown {
		p.missing = append(p.missing, "zones")
	}
	if !p.feedsSet {
		p.missing = append(p.missing, "feeding_zones")
	}
	p.territories, p.shortfall = r.territories(), r.shortfall()
	return p
}

// actorAt reads the harm-doing traits at one end of their bands.
func (m *Model) actorAt(r reader, e end) actor {
	length := r.largest(species.Length, e)
	ripe := r.ind.Youth.ripe()
	own, alike := r.largest(species.AggressionOwn, e), r.largest(species.AggressionAlike, e)
	mood := r.ind.mood()
	temper := mood * ripe
	claws := r.claws(e)
	crush, crushReach := crushing(r.sp, claws, e)
	return actor{
		lnLength:  math.Log(r.kept(species.Length, e)),
		lnLongest: math.Log(length),
		lnPrey:    math.Log(length * r.largest(species.PreyLimit, e) * m.w.PreyShift),
		lnGape:    math.Log(length * r.largest(species.Gape, e) * m.w.PreyShift),
		piscivory: r.largest(species.Piscivory, e),
		appetite:  math.Pow(r.largest(species.Piscivory, e), m.w.AppetitePower),
		pressure:  temper * m.pressing(r.largest(species.AggressionOthers, e)),
		fury:      fury(temper, r.largest(species.AggressionOthers, e), r.kept(species.Length, e)),
		own:       temper * own * own,
		alike:     temper * alike * alike, // it takes two that mean it
		ground:    r.ground(e),
		nipping:   mood * r.largest(species.FinNipping, e),
		pace:      r.largest(species.FeedingPace, e),
		guarding:  ripe * math.Pow(r.largest(species.BroodGuarding, e), guardPower),
		fins:      r.largest(species.LongFins, e),
		hunger:    hunger(r.sp, r.largest(species.AnimalFood, e)),
		claws:     claws, lnGrip: r.grip(length),
		crush: crush, crushReach: crushReach,
	}
}

// pressing is the pressure of a grade of aggression, 0 to 1: a Hill curve, so that mild
// fish press less than in proportion and among the fierce the grade matters less.
func (m *Model) pressing(grade float64) float64 {
	g := math.Pow(grade, m.w.PressurePower)
	return 2 * g / (1 + g)
}

// fury is how far a fish does not let go, 0 to 1; it takes jaws to wound.
func fury(temper, grade, length float64) float64 {
	return min(1, temper*max(0, grade-furyFrom)/(1-furyFrom)) * min(1, length/jawsLength)
}

// victimAt reads the harm-suffering traits at one end of their bands. The kinder
// end of a trait that protects is its high one.
func (m *Model) victimAt(r reader, e end) victim {
	opposite := harsher - e
	length := r.smallest(species.Length, opposite)
	armour := r.smallest(species.Armour, opposite)
	shy := timidShare*r.largest(species.Timidity, e) + slowShare*r.largest(species.Slowness, e)
	nerve, unshielded := m.w.Hardiness+(1-m.w.Hardiness)*shy, 1-armourShields*armour
	return victim{
		lnLength:  math.Log(length),
		lnEdge:    math.Log(r.kept(species.Length, opposite)),
		lnDepth:   math.Log(length * r.smallest(species.DepthRatio, opposite)),
		swallowed: 1 - armourDeters*armour*(2-armour), // a few spines do most of it
		shy:       shy,
		nerve:     nerve, unshielded: unshielded,
		nippable:  finsInvite*r.largest(species.LongFins, e) + slowInvites*r.largest(species.Slowness, e),
		pace:      r.smallest(species.FeedingPace, opposite),
		fins:      r.largest(species.LongFins, e),
		spineless: r.sp.BodyForm.Invertebrate(),
		soft:      r.sp.BodyForm.Crustacean(),
	}
}
