package conflict

import (
	"math"
	"slices"

	"commensal/internal/species"
	"commensal/internal/species/law"
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
	cool, warm           float64 // how far it misses a cool season, and needs warmth, 0 to 1
	animalFood           float64
	tankLength           float64
	tankWidth            float64
	tankHeight           float64
	territories          float64
	usualGround          float64 // territories of the customary group
	customary            bool    // the customary group, adult, of no told temper
	shortfall            float64
	genus                string
	shoals               bool // roams in company of its kind; a colony holds ground
	spineless            bool // an invertebrate
	fedByTank            bool // lives on what the tank grows
	strains              bool // strains its food out of the water
	land                 bool // needs land to walk on
	zonesKnown, feedsSet bool
	missing              []string
}

// actor is a fish as a source of harm; every field grows with harm.
type actor struct {
	lnLength  float64 // ln cm, the fish that presses
	lnStrong  float64 // ln cm, the same by its build
	lnLongest float64 // ln cm, largest sex
	lnPrey    float64 // ln cm, prey length at which taking is even
	lnGape    float64 // ln cm, prey depth at which taking is even
	appetite  float64 // piscivory to the fitted power
	bites     float64 // how far it lives on pieces of others, 0 to 1
	mishaps   float64 // how often it takes a very small fish by chance, 0 to 1
	pressure  float64 // aggression to others, on its curve
	fury      float64 // how far it does not let go, 0 to 1
	own       float64 // aggression to its own kind, to its power
	alike     float64 // aggression to look-alikes, to its power
	ground    float64 // cm² defended by one territory
	nipping   float64 // to its power
	pace      float64
	bustle    float64 // activity and pace of feeding, 0 to 1
	guarding  float64 // to its power
	fins      float64 // how far its own fins are a show
	hunger    float64 // readiness to take small animals that are no fish, 0 to 1
	nibbles   float64 // nipping of one that lives on small animals
	claws     float64
	lnGrip    float64 // ln cm, length at which its claws holding prey is even
	crush     float64 // readiness to get at an animal in its shell, 0 to 1
	lnShell   float64 // ln cm, length of a shell at which it succeeds half the time
}

// victim is a fish as a sufferer of harm; every field but lengths grows with harm.
type victim struct {
	lnLength   float64 // ln cm, smallest sex
	lnEdge     float64 // ln cm, the fish that is pressed
	lnWeak     float64 // ln cm, the same by its build
	lnDepth    float64 // ln cm, body depth
	swallowed  float64 // what armour leaves of predation, 0 to 1
	caught     float64 // how readily it is caught, 1 being ordinary
	nerve      float64 // how far it is cowed by pressure where nothing shields it, 0 to 1
	unshielded float64 // what armour leaves of blows, 0 to 1
	noticed    float64 // share of a pressure that reaches it by what it is
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
	return m.profile(sp, ind, kinder, harsher)
}

// TypicalProfile is a profile for [Model.Value] and [Model.CausesOf] alone: it lacks the ends of
// the trait bands.
func (m *Model) TypicalProfile(sp *species.Species, ind Individual) *Profile {
	return m.profile(sp, ind, typical, typical)
}

func (m *Model) profile(sp *species.Species, ind Individual, from, to end) *Profile {
	p := &Profile{Species: sp, Individual: ind, genus: sp.Genus()}
	p.shoals = sp.Social == species.Group
	p.spineless, p.fedByTank, p.land = sp.BodyForm.Invertebrate(), fedByTank(sp), needsLand(sp)
	p.strains = sp.FeedsBy == species.FilterWater
	p.customary = ind == Individual{}
	r := reader{sp: sp, ind: ind}
	for e := from; e <= to; e++ {
		p.actor[e] = m.actorAt(r, e)
		p.victim[e] = m.victimAt(r, e)
		for w := range species.Parameter(species.NumParameters) {
			p.water[e][w] = m.acceptsAt(sp, w, e)
		}
	}
	if slices.Contains(sp.Cautions, species.Electric) {
		p.shock = shockHazard
	}
	p.cool, p.warm = m.seasons(sp)
	p.animalFood = r.typical(species.AnimalFood)
	p.tankLength = r.typical(species.TankLength)
	p.tankWidth = r.typical(species.TankWidth)
	p.tankHeight = sp.Traits[species.TankHeight].Typical
	p.zones, p.zonesKnown = sp.Zones.Share, sp.Zones.Known()
	p.feedAt, p.feedsSet = sp.FeedingZones.Share, sp.FeedingZones.Known()
	p.missing = missingOf(sp, ind)
	p.usualGround = r.territories(r.typical(species.GroupMin))
	p.territories, p.shortfall = r.territories(r.count()), r.shortfall()
	return p
}

// missingOf names what the catalogue lacks of what the model reads.
func missingOf(sp *species.Species, ind Individual) (missing []string) {
	for _, t := range scored {
		if !sp.Trait(t, keptAs(sp, ind)).Known() {
			missing = append(missing, t.String())
		}
	}
	for w := range species.NumParameters {
		if !sp.Water[w].Known() {
			missing = append(missing, species.Parameter(w).String())
		}
	}
	if !sp.Zones.Known() {
		missing = append(missing, "zones")
	}
	if !sp.FeedingZones.Known() {
		missing = append(missing, "feeding_zones")
	}
	return missing
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
	animal, nips := r.largest(species.AnimalFood, e), mood*r.largest(species.FinNipping, e)
	piscivory, others := r.largest(species.Piscivory, e), r.largest(species.AggressionOthers, e)
	reach, pace := m.reach(r.sp), r.largest(species.FeedingPace, e)
	hungry, activity := hunger(r.sp, animal), r.largest(species.Activity, e)
	return actor{
		lnLength:  math.Log(r.kept(species.Length, e)),
		lnStrong:  m.strength(r.sp, r.kept(species.Length, e), r.largest(species.DepthRatio, e)),
		lnLongest: math.Log(length),
		lnPrey:    math.Log(length) + m.lnLimit(r.sp, r.largest(species.PreyLimit, e)),
		lnGape:    math.Log(length * r.largest(species.Gape, e) * reach * m.w.GapeShare),
		appetite:  math.Pow(piscivory, m.w.AppetitePower),
		bites:     bites(piscivory, nips),
		mishaps:   mishaps(r.sp, animal),
		pressure:  temper * m.pressing(others) * m.tireless(r.sp, activity),
		fury:      fury(temper, others, r.kept(species.Length, e)),
		own:       temper * math.Pow(own, m.w.OwnPower),
		alike:     temper * math.Pow(alike, m.w.RivalPower),
		ground:    r.ground(e),
		nipping:   math.Pow(nips, m.w.NipPower),
		pace:      pace,
		bustle:    activity * pace,
		guarding:  ripe * math.Pow(r.largest(species.BroodGuarding, e), guardPower),
		fins:      r.largest(species.LongFins, e),
		hunger:    hungry,
		nibbles:   nips * hungry,
		claws:     claws,
		lnGrip:    m.grip(r.sp, length),
		crush:     crush,
		lnShell:   math.Log(crushReach * length),
	}
}

// victimAt reads the harm-suffering traits at one end of their bands. The kinder
// end of a trait that protects is its high one.
func (m *Model) victimAt(r reader, e end) victim {
	opposite := harsher - e
	length := r.smallest(species.Length, opposite)
	armour := r.smallest(species.Armour, opposite)
	slow, fins := r.largest(species.Slowness, e), r.largest(species.LongFins, e)
	shy := (r.largest(species.Timidity, e) + m.w.SlowWeight*slow) / (1 + m.w.SlowWeight)
	return victim{
		lnLength:   math.Log(length),
		lnEdge:     math.Log(r.kept(species.Length, opposite)),
		lnWeak:     m.strength(r.sp, r.kept(species.Length, opposite), r.smallest(species.DepthRatio, opposite)),
		lnDepth:    math.Log(length * r.smallest(species.DepthRatio, opposite)),
		swallowed:  m.unarmoured(armour),
		caught:     m.caught(r.sp, r.smallest(species.AggressionOthers, opposite), slow),
		shy:        shy,
		nerve:      m.w.Hardiness + (1-m.w.Hardiness)*shy,
		unshielded: 1 - m.w.ArmourShields*armour,
		noticed:    m.noticed(r.sp, r.smallest(species.Armour, typical)),
		nippable:   m.nippable(r.sp, fins, slow),
		pace:       r.smallest(species.FeedingPace, opposite),
		fins:       fins,
		spineless:  r.sp.BodyForm.Invertebrate(),
		soft:       r.sp.BodyForm.Crustacean(),
	}
}

// InNumbers is the profile of the same fish as a line of count, of company fish of its
// kind in the tank, the line included: a shoal listed in several lines (by sex or
// size) counts as one shoal, and each line has its share of the ground. With
// company equal to count it is the profile that [Model.Profile] makes for the count.
// Both must be at least 1 and count ≤ company.
func (p *Profile) InNumbers(count, company int) *Profile {
	q := *p
	q.Individual.Count = count
	q.customary = false
	whole := reader{sp: p.Species, ind: q.Individual}
	whole.ind.Count = company
	q.shortfall = whole.shortfall()
	q.territories = whole.territories(whole.count())
	if company != count {
		q.territories *= float64(count) / float64(company)
	}
	return &q
}

// Band is the trait's low-typical-high for the line's sex, or the species' own where
// it has none; ok is false where the catalogue lacks it.
func (p *Profile) Band(t species.Trait) (band species.Band, ok bool) {
	v := p.Species.Trait(t, keptAs(p.Species, p.Individual))
	return v.Band, v.Known()
}

// read is a trait's typical value in the sex that has more of it.
func (p *Profile) read(t species.Trait) float64 {
	return reader{sp: p.Species, ind: p.Individual}.largest(t, typical)
}

// Book is a catalogue revision made ready for one model: every species' profile as a
// customary group of adults. It is immutable and safe to share, so lookups need no
// database.
type Book struct {
	Model    *Model
	Snapshot *species.Snapshot
	// Law has the published rules that are known, empty where none are.
	Law      []law.Rule
	profiles []*Profile
}

// NewBook prepares every species of the snapshot.
func NewBook(m *Model, s *species.Snapshot) *Book {
	b := &Book{Model: m, Snapshot: s, profiles: make([]*Profile, s.Len())}
	for i := range b.profiles {
		b.profiles[i] = m.Profile(s.At(i), Individual{})
	}
	return b
}

// UnderLaw is the book with published rules.
func (b *Book) UnderLaw(rules []law.Rule) *Book {
	under := *b
	under.Law = rules
	return &under
}

// Profile is the profile of the snapshot's i-th species as a customary group of adults.
func (b *Book) Profile(i int) *Profile { return b.profiles[i] }

// For is the profile of the i-th species for the given fish.
func (b *Book) For(i int, ind Individual) *Profile {
	if ind == (Individual{}) {
		return b.profiles[i]
	}
	return b.Model.Profile(b.Snapshot.At(i), ind)
}

// Value is the reference-conditions score of the i-th with the j-th species.
func (b *Book) Value(i, j int) float64 {
	c := ConditionsFor(b.profiles[i], b.profiles[j], nil)
	return b.Model.Value(b.profiles[i], b.profiles[j], &c)
}
