package conflict

import (
	"math"
	"slices"
	"sync"
	"unique"

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

// Profile is one species (or line of fish) made ready for scoring. Profiles are immutable and
// safe to share.
type Profile struct {
	Species    *species.Species
	Individual Individual

	fish             // at the typical values of its traits
	ends    *[2]fish // at the kinder and the harsher ends; nil where they are worked out whenever asked for
	missing []string
}

// fish is one line of fish as plain numbers, at one end of the bands of its traits: all that
// [Model.Value] reads. What a pairing needs of one side alone is worked out here, powers and
// logarithms among it.
type fish struct {
	kind
	zonesKnown, feedsSet bool
	spineless            bool // an invertebrate
	fedByTank            bool // lives on what the tank grows
	strains              bool // strains its food out of the water
	land                 bool // needs land to walk on
	shoals               bool // roams in company of its kind; a colony holds ground
	planktivore          bool
	hybridises           bool // is known to cross with some kind
	rivalMales           bool // told to be males that do not live side by side
	loner                bool // lives alone when grown

	zones      [species.NumZones]float64
	feedAt     [species.NumZones]float64
	water      [species.NumParameters]accepts
	shock      float64 // hazard of a strong electric organ, for any tank mate
	giant      float64 // hazard that no customary tank holds it
	cool, warm float64 // how far it misses a cool season, and needs warmth, 0 to 1
	animalFood float64
	tankHeight float64
	shortfall  float64
	berth

	victim victim
	actor  actor
}

// berth is the room that a line asks for.
type berth struct {
	tankLength, tankWidth float64 // cm, the customary minimum
	plot                  float64 // cm² defended by one territory
	territories           float64
	usualGround           float64 // territories of the customary group
	customary             bool    // the customary group, adult, of no told temper
}

// kind is who a fish is, in handles that are compared as quickly as numbers.
type kind struct {
	sp                             *species.Species
	id, form, genus, family, shape name // form and shape are unnamed where there is none
	body                           species.BodyForm
	colours                        []name
	words                          []name // what kinds share that are more to each other than strangers, each once
}

// name is a handle of a word.
type name = unique.Handle[string]

// unnamed is the handle of no word.
var unnamed name

// kindOf reads who a species is.
func kindOf(sp *species.Species) kind {
	k := kind{sp: sp, id: unique.Make(string(sp.ID)), genus: unique.Make(sp.Genus()), family: unique.Make(sp.Family), body: sp.BodyForm}
	if sp.FormOf != "" {
		k.form = unique.Make(string(sp.FormOf))
	}
	if sp.Shape != "" {
		k.shape = unique.Make(sp.Shape)
	}
	for _, c := range sp.Colours {
		k.colours = append(k.colours, unique.Make(c))
	}
	k.know(k.id, k.form, k.genus, unique.Make(sp.ScientificName))
	for _, n := range sp.Hybridises {
		k.know(unique.Make(n))
	}
	return k
}

// know adds words.
func (k *kind) know(words ...name) {
	for _, w := range words {
		if w != unnamed && !slices.Contains(k.words, w) {
			k.words = append(k.words, w)
		}
	}
}

// oneKind is [OneKind].
func (k *kind) oneKind(o *kind) bool {
	return k.id == o.id || k.form == o.id || o.form == k.id || (k.form != unnamed && k.form == o.form)
}

// actor is a fish as a source of harm; every field but the powers grows with harm.
type actor struct {
	mouth
	bully
	lnStrong float64 // ln cm, the fish that presses by its build
	lengthCM float64 // cm, the fish that presses
	bites    float64 // how far it lives on pieces of others, 0 to 1
	own      float64 // aggression to its own kind, to its power
	alike    float64 // aggression to look-alikes, to its power
	nipping  float64 // to its power
	pace     float64
	bustle   float64 // activity and pace of feeding, 0 to 1
	fins     float64 // how far its own fins are a show
	hunger   float64 // readiness to take small animals that are no fish, 0 to 1
	nibbles  float64 // nipping of one that lives on small animals
	claws    float64
	crush    float64 // readiness to get at an animal in its shell, 0 to 1

	// The limits of the curves, to −steepness, see [chance].
	table  float64 // strength at the table
	pick   float64 // length of what is picked apart
	nibble float64 // length of what is nibbled to death
	young  float64 // length of those whose young are taken
	shell  float64 // length of a shell
	grip   float64 // length that claws hold
}

// mouth is what takes fish whole.
type mouth struct {
	lnPrey   float64           // ln cm, prey length at which taking is even
	lnGape   float64           // ln cm, prey depth at which taking is even
	appetite float64           // piscivory to the fitted power
	mishaps  float64           // how often it takes a very small fish by chance, 0 to 1
	takes    [numTakes]float64 // limits of lengths, and of lengths eased by depths, of prey that is swallowed, see [chance]
	small    float64           // limit of the length of a very small fish
}

// bully is what presses others.
type bully struct {
	pressure float64 // aggression to others, on its curve
	fury     float64 // how far it does not let go, 0 to 1
	guarding float64 // to its power
	edge     float64 // limit of strength, see [chance]
}

// victim is a fish as a sufferer of harm; every field but lengths and powers grows with harm.
type victim struct {
	morsel
	bullied
	lnWeak    float64 // ln cm, the fish that is pressed by its build
	lengthCM  float64 // cm, the fish that is pressed
	shy       float64 // timid and slow, 0 to 1
	nippable  float64
	fins      float64
	pace      float64
	spineless bool // an invertebrate
	soft      bool // one without a shell

	// Its size to the steepness of the curves, see [chance].
	table   float64
	picked  float64
	gripped float64
}

// morsel is what a fish is to a mouth.
type morsel struct {
	lnLength  float64           // ln cm, smallest sex
	lnDepth   float64           // ln cm, body depth
	swallowed float64           // what armour leaves of predation, 0 to 1
	caught    float64           // how readily it is caught, 1 being ordinary
	takes     [numTakes]float64 // its size to the steepness of the curves, see [chance]
	small     float64
}

// bullied is what a fish is to one that presses it.
type bullied struct {
	nerve      float64 // how far it is cowed by pressure where nothing shields it, 0 to 1
	unshielded float64 // what armour leaves of blows, 0 to 1
	noticed    float64 // share of a pressure that reaches it by what it is
	edge       float64 // its strength to the steepness of the curve, see [chance]
}

// The curves of an actor that are no size of its own.
type limits struct {
	lnLongest float64 // ln cm, largest sex
	lnGrip    float64 // ln cm, length at which its claws holding prey is even
	lnShell   float64 // ln cm, length of a shell at which it succeeds half the time
}

// limit works out the powers of an actor.
func (m *Model) limit(a *actor, l limits) {
	a.takes = m.takesOf(-1, a.lnPrey, a.lnGape)
	a.small = power(-m.w.MishapSteepness, l.lnLongest+math.Log(m.w.MishapLength))
	a.edge = power(-m.w.EdgeSteepness, a.lnStrong)
	a.table = math.Exp(-tableSteepness*a.lnStrong - tableEdge)
	a.young = power(-pickSteepness, a.lnPrey-lnYoungLength)
	a.pick = power(-pickSteepness, a.lnPrey+math.Log(m.w.PickLength))
	a.nibble = power(-pickSteepness, l.lnLongest+lnNibbleReach)
	a.shell = power(-pickSteepness, l.lnShell)
	a.grip = power(-clawSteepness, l.lnGrip)
}

// size works out the powers of a victim.
func (m *Model) size(v *victim) {
	v.takes = m.takesOf(1, v.lnLength, v.lnDepth)
	v.small = power(m.w.MishapSteepness, v.lnLength)
	v.edge = power(m.w.EdgeSteepness, v.lnWeak)
	v.table = power(tableSteepness, v.lnWeak)
	v.picked = power(pickSteepness, v.lnLength)
	v.gripped = power(clawSteepness, v.lnLength)
}

// Missing lists the keys of the traits the catalogue lacks for this species.
func (p *Profile) Missing() []string { return p.missing }

// Profile prepares a species for scoring.
func (m *Model) Profile(sp *species.Species, ind Individual) *Profile {
	p := m.profile(kindOf(sp), ind)
	p.ends = &[2]fish{m.fishAt(p.kind, ind, kinder), m.fishAt(p.kind, ind, harsher)}
	return p
}

// TypicalProfile is [Model.Profile] without the ends of the trait bands, which are worked out
// anew whenever [Model.Explain] asks for them: what lists and calibrations need.
func (m *Model) TypicalProfile(sp *species.Species, ind Individual) *Profile {
	return m.profile(kindOf(sp), ind)
}

func (m *Model) profile(k kind, ind Individual) *Profile {
	return &Profile{Species: k.sp, Individual: ind, fish: m.fishAt(k, ind, typical), missing: missingOf(k.sp, ind)}
}

// at is a profile's fish at one end of the bands.
func (m *Model) at(p *Profile, e end) *fish {
	switch {
	case e == typical:
		return &p.fish
	case p.ends != nil:
		return &p.ends[e/harsher]
	}
	f := m.fishAt(p.kind, p.Individual, e)
	f.shortfall, f.territories = p.shortfall, p.territories
	return &f
}

// fishAt reads a line of fish at one end of the bands.
func (m *Model) fishAt(k kind, ind Individual, e end) fish {
	sp, r := k.sp, reader{sp: k.sp, ind: ind}
	f := fish{
		kind: k, actor: m.actorAt(r, e), victim: m.victimAt(r, e),
		zones: sp.Zones.Share, zonesKnown: sp.Zones.Known(), feedAt: sp.FeedingZones.Share, feedsSet: sp.FeedingZones.Known(),
		spineless: sp.BodyForm.Invertebrate(), fedByTank: fedByTank(sp), land: needsLand(sp), strains: sp.FeedsBy == species.FilterWater,
		shoals: sp.Social == species.Group, planktivore: sp.Guild == species.Planktivore, hybridises: len(sp.Hybridises) > 0,
		rivalMales: rivalMales(sp, ind), loner: sp.Social == species.Solitary,
		animalFood: r.typical(species.AnimalFood), tankHeight: sp.Traits[species.TankHeight].Typical, shortfall: r.shortfall(),
		berth: berth{tankLength: r.typical(species.TankLength), tankWidth: r.typical(species.TankWidth), plot: r.ground(e), customary: ind == Individual{},
			usualGround: r.territories(r.typical(species.GroupMin)), territories: r.territories(r.count())},
	}
	for w := range species.Parameter(species.NumParameters) {
		f.water[w] = m.acceptsAt(sp, w, e)
	}
	if slices.Contains(sp.Cautions, species.Electric) {
		f.shock = shockHazard
	}
	f.giant = m.giant(f.tankLength)
	f.cool, f.warm = m.seasons(sp)
	return f
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
	out := actor{
		mouth: mouth{
			lnPrey:   math.Log(length) + m.lnLimit(r.sp, r.largest(species.PreyLimit, e)),
			lnGape:   math.Log(length * r.largest(species.Gape, e) * reach * m.w.GapeShare),
			appetite: math.Pow(piscivory, m.w.AppetitePower),
			mishaps:  mishaps(r.sp, animal),
		},
		bully: bully{
			pressure: temper * m.pressing(others) * m.tireless(r.sp, activity),
			fury:     fury(temper, others, r.kept(species.Length, e)),
			guarding: ripe * math.Pow(r.largest(species.BroodGuarding, e), guardPower),
		},
		lengthCM: r.kept(species.Length, e),
		lnStrong: m.strength(r.sp, r.kept(species.Length, e), r.largest(species.DepthRatio, e)),
		bites:    bites(piscivory, nips),
		own:      temper * math.Pow(own, m.w.OwnPower),
		alike:    temper * math.Pow(alike, m.w.RivalPower),
		nipping:  math.Pow(nips, m.w.NipPower),
		pace:     pace,
		bustle:   activity * pace,
		fins:     r.largest(species.LongFins, e),
		hunger:   hungry,
		nibbles:  nips * hungry,
		claws:    claws,
		crush:    crush,
	}
	m.limit(&out, limits{lnLongest: math.Log(length), lnGrip: m.grip(r.sp, length), lnShell: math.Log(crushReach * length)})
	return out
}

// victimAt reads the harm-suffering traits at one end of their bands. The kinder
// end of a trait that protects is its high one.
func (m *Model) victimAt(r reader, e end) victim {
	opposite := harsher - e
	length := r.smallest(species.Length, opposite)
	armour := r.smallest(species.Armour, opposite)
	slow, fins := r.largest(species.Slowness, e), r.largest(species.LongFins, e)
	shy := (r.largest(species.Timidity, e) + m.w.SlowWeight*slow) / (1 + m.w.SlowWeight)
	out := victim{
		morsel: morsel{
			lnLength:  math.Log(length),
			lnDepth:   math.Log(length * r.smallest(species.DepthRatio, opposite)),
			swallowed: m.unarmoured(armour),
			caught:    m.caught(r.sp, r.smallest(species.AggressionOthers, opposite), slow),
		},
		bullied: bullied{
			nerve:      m.w.Hardiness + (1-m.w.Hardiness)*shy,
			unshielded: 1 - m.w.ArmourShields*armour,
			noticed:    m.noticed(r.sp, r.smallest(species.Armour, typical)),
		},
		lengthCM:  r.kept(species.Length, opposite),
		lnWeak:    m.strength(r.sp, r.kept(species.Length, opposite), r.smallest(species.DepthRatio, opposite)),
		shy:       shy,
		nippable:  m.nippable(r.sp, fins, slow),
		pace:      r.smallest(species.FeedingPace, opposite),
		fins:      fins,
		spineless: r.sp.BodyForm.Invertebrate(),
		soft:      r.sp.BodyForm.Crustacean(),
	}
	m.size(&out)
	return out
}

// InNumbers is the profile of the same fish as a line of count, of company fish of its
// kind in the tank, the line included: a shoal listed in several lines (by sex or
// size) counts as one shoal, and each line has its share of the ground. With
// company equal to count it is the profile that [Model.Profile] makes for the count.
// Both must be at least 1 and count ≤ company.
func (p *Profile) InNumbers(count, company int) *Profile {
	q := new(Profile)
	p.NumbersInto(q, count, company)
	return q
}

// NumbersInto is [Profile.InNumbers] into a profile that nobody has seen yet: the lines of a list are made ready together.
func (p *Profile) NumbersInto(q *Profile, count, company int) {
	q.Species, q.Individual, q.fish, q.missing, q.ends = p.Species, p.Individual, p.fish, p.missing, nil
	q.Individual.Count = count
	q.customary = false
	whole := reader{sp: p.Species, ind: q.Individual}
	whole.ind.Count = company
	q.shortfall = whole.shortfall()
	q.territories = whole.territories(whole.count())
	if company != count {
		q.territories *= float64(count) / float64(company)
	}
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
	Law   []law.Rule
	kinds []Profile
	asked []sync.Once // whether each of the kinds was made ready; nil where all were at once
	// columns is the same in columns, made when it is asked for first.
	columns func() *columns
	kept    *kept // see [Book.Keep]
}

// NewBook prepares every species of the snapshot, on all processors.
func NewBook(m *Model, s *species.Snapshot) *Book {
	b := BookAsAsked(m, s)
	b.readyAll()
	b.asked = nil
	return b
}

// BookAsAsked prepares each species when it is asked for first: for a program that ends after a question or two.
func BookAsAsked(m *Model, s *species.Snapshot) *Book {
	b := &Book{Model: m, Snapshot: s, kinds: make([]Profile, s.Len()), asked: make([]sync.Once, s.Len()), kept: &kept{}}
	b.columns = sync.OnceValue(func() *columns {
		b.readyAll()
		return m.columnsOf(b.kinds)
	})
	return b
}

// fewKinds is how many kinds one processor makes ready at a time.
const fewKinds = 128

// readyAll makes every species ready.
func (b *Book) readyAll() {
	inParts(len(b.kinds), fewKinds, func(from, to int) {
		for i := from; i < to; i++ {
			b.kind(i)
		}
	})
}

// kind is the i-th species as a customary group of adults. They stand one behind the other.
func (b *Book) kind(i int) *Profile {
	if b.asked != nil {
		b.asked[i].Do(func() { b.kinds[i] = *b.Model.Profile(b.Snapshot.At(i), Individual{}) })
	}
	return &b.kinds[i]
}

// Profile is the profile of the snapshot's i-th species as a customary group of adults.
func (b *Book) Profile(i int) *Profile { return b.kind(i) }

// For is the profile of the i-th species for the given fish.
func (b *Book) For(i int, ind Individual) *Profile {
	if ind == (Individual{}) {
		return b.kind(i)
	}
	return b.Model.profile(b.kind(i).kind, ind)
}

// Value is the reference-conditions score of the i-th with the j-th species.
func (b *Book) Value(i, j int) float64 {
	first, second := b.kind(i), b.kind(j)
	c := ConditionsFor(first, second, nil)
	return b.Model.Value(first, second, &c)
}
