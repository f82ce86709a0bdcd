package conflict

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/internal/species"
)

// Where the fixed numbers of the factors draw their lines, as common practice does: on either side of each
// stands a case, or the share that a number gives. Common practice, no source.

// holds is one case of such a table.
type holds struct {
	that string
	is   bool
}

func (h holds) check(t *testing.T) {
	t.Helper()
	if !h.is {
		t.Errorf("it does not hold that %s", h.that)
	}
}

// share is a number that some part of the whole must come to, within a twentieth of it.
type share struct {
	of        string
	got, want float64
}

func (s share) check(t *testing.T) {
	t.Helper()
	if math.Abs(s.got-s.want) > s.want/20 {
		t.Errorf("%s: %v, want %v", s.of, s.got, s.want)
	}
}

func grade(x float64) species.Value {
	return species.Value{Band: species.Band{Low: x, Typical: x, High: x}, Basis: species.Memory}
}

// animal is a kind of a length in cm of which nothing is unusual, changed.
func animal(length float64, change ...func(*species.Species)) *species.Species {
	sp := &species.Species{ID: "testus", ScientificName: "Testus testus", Family: "Testidae", BodyForm: species.Fusiform, Guild: species.Omnivore,
		Social: species.Single, Names: []species.Name{{Language: "en", Text: "Test fish"}}, Basis: species.Memory}
	for _, tr := range scored {
		sp.Traits[tr] = grade(unknownBand[tr].Typical)
	}
	sp.Traits[species.Length] = grade(length)
	sp.Zones = species.ZoneUse{Share: [3]float64{0, 1, 0}, Basis: species.Memory}
	sp.FeedingZones = sp.Zones
	for _, c := range change {
		c(sp)
	}
	return sp
}

func with(tr species.Trait, x float64) func(*species.Species) {
	return func(sp *species.Species) { sp.Traits[tr] = grade(x) }
}

func built(form species.BodyForm) func(*species.Species) {
	return func(sp *species.Species) { sp.BodyForm = form }
}

func ofGuild(g species.Guild) func(*species.Species) {
	return func(sp *species.Species) { sp.Guild = g }
}

// called makes it another kind.
func called(id species.ID) func(*species.Species) {
	return func(sp *species.Species) { sp.ID, sp.ScientificName = id, "Genus "+string(id) }
}

func (m *Model) of(length float64, change ...func(*species.Species)) *Profile {
	return m.Profile(animal(length, change...), Individual{})
}

// met is what one does to the other as an eater.
func (m *Model) met(i, j *Profile) (t terms) {
	m.take(&t, 0, &i.fish, &j.fish, typical)
	return t
}

func TestWhoEatsWhom(t *testing.T) {
	m := testModel(t)
	for _, h := range []holds{
		{"an occasional biter that takes some fish lives on no pieces of others", bites(0.7, 0.2) == 0},
		{"a little more of either and it does", bites(0.8, 0.2) > 0},
		{"an electric fish alone makes any pairing severe", LevelOf(100*risk(shockHazard)) == Severe},
		{"and not the gravest that there is", 100*risk(shockHazard) < 85},
		{"no animal matter to speak of leaves small animals alone", hunger(animal(8), 0.15) == 0},
		{"a little more takes one now and then", hunger(animal(8), 0.17) > 0},
		{"three fifths of animal matter passes none by", hunger(animal(8), 0.6) > 0.999},
		{"a little less does at times", hunger(animal(8), 0.58) < 0.99},
	} {
		h.check(t)
	}
	for _, s := range []share{
		{"mishaps of a grazer, which seldom looks up", mishaps(animal(20, func(sp *species.Species) { sp.FeedsBy = species.GrazeAlgae }), 1), 0.3},
		{"mishaps of one that searches the ground", mishaps(animal(20, func(sp *species.Species) { sp.FeedsBy = species.ProbeGround }), 1), 0.5},
		{"prey of an eater with the usual limit and no special way, in its lengths", math.Exp(m.lnLimit(animal(20), 0.25)) / m.w.ReachOther, 0.25},
		{"how readily a fish of the usual slowness is caught", m.caught(animal(8), 0, 0.25), 1},
	} {
		s.check(t)
	}
	if got := math.Exp(m.lnLimit(animal(20), 0.25)) / m.w.ReachOther; math.Abs(got-0.25) > 1e-9 {
		t.Errorf("the usual limit is read as %v", got)
	}
	if got := m.caught(animal(8), 0, 0.25); math.Abs(got-1) > 1e-9 {
		t.Errorf("a fish of the usual slowness is caught %v times as readily as one", got)
	}
}

func TestHowGravelyEatingIsSaid(t *testing.T) {
	m := testModel(t)
	hunter, prey := m.of(30, with(species.PreyLimit, 0.3)), m.of(5, with(species.DepthRatio, 0.1), called("praeda"))
	for _, c := range []struct {
		risk float64
		want Code
	}{{0.09, SizeSeldomTakes}, {0.11, SizeMaySwallow}, {0.49, SizeMaySwallow}, {0.51, SizeSwallows}} {
		tm := terms{swallow: [2]float64{-math.Log1p(-c.risk)}, zone: 1, room: 1}
		x := explainer{m: m, a: hunter, b: prey, c: &Conditions{}, t: &tm}
		if got := x.size().Code; got != c.want {
			t.Errorf("a risk of %v is said as %s, want %s", c.risk, got, c.want)
		}
	}
}

func TestWhatIsDoneToInvertebrates(t *testing.T) {
	m := testModel(t)
	snail := func(cm float64) *Profile { return m.of(cm, built(species.SnailForm)) }
	shrimp := func(cm float64) *Profile { return m.of(cm, built(species.ShrimpForm)) }
	crushed := func(by *Profile, cm float64) float64 {
		return m.met(by, snail(cm)).crush[0] / (m.w.Predation * m.w.ShellCrush)
	}
	puffer, loach := m.of(3, ofGuild(species.Molluscivore)), m.of(10, func(sp *species.Species) { sp.Family = "Botiidae" })
	crayfish := m.of(10, built(species.CrayfishForm), with(species.Claws, 1))
	nibbler := m.of(8, with(species.FinNipping, 1), with(species.AnimalFood, 1))
	hungry := m.of(10, with(species.AnimalFood, 1))
	limit := math.Exp(hungry.actor.lnPrey)
	youngTaken := func(cm float64) float64 { return m.met(hungry, shrimp(cm)).young[0] }
	nibbled := func(cm float64) float64 { return m.nibbleHazard(&nibbler.actor, &shrimp(cm).victim) / m.w.Piecemeal }
	held := func(by *Profile, cm float64) float64 { return chance(by.actor.grip, m.of(cm).victim.gripped) }
	crab := m.of(5, built(species.CrabForm), with(species.Claws, 1))
	few := m.of(8, with(species.FinNipping, 0.49), with(species.AnimalFood, 1))
	more := m.of(8, with(species.FinNipping, 0.53), with(species.AnimalFood, 1))
	for _, h := range []holds{
		{"a pea puffer of 3 cm opens a snail of 10 cm more often than not", crushed(puffer, 10) > 0.5},
		{"and one of 11 cm less", crushed(puffer, 11) < 0.5},
		{"a loach of 10 cm sucks a snail of 3.8 cm out more often than not", crushed(loach, 3.8) > 0.5},
		{"and one of 4.2 cm less", crushed(loach, 4.2) < 0.5},
		{"of shrimps eight limits long more than half of the young are taken", youngTaken(8*limit) > youngTaken(0.01)/2},
		{"of those nine limits long less", youngTaken(9*limit) < youngTaken(0.01)/2},
		{"a nipper by half is no danger to a shrimp of its size", m.nibbleHazard(&few.actor, &shrimp(4).victim) == 0},
		{"one that nips a little more is", m.nibbleHazard(&more.actor, &shrimp(4).victim) > 0},
		{"a constant nipper of 8 cm nibbles a shrimp of 11 cm to death more often than not", nibbled(11) > 0.5},
		{"and one of 13 cm less", nibbled(13) < 0.5},
		{"the young of a colony are a matter of a few points", 100*risk(youngTaken(0.01)) > 6 && 100*risk(youngTaken(0.01)) < 9},
		{"claws hold a fish of their reach half the time", math.Abs(held(crayfish, 10*m.w.ClawReach)-0.5) < 0.01},
		{"and one of twice the reach hardly one time in fifteen", held(crayfish, 20*m.w.ClawReach) > 1./22 && held(crayfish, 20*m.w.ClawReach) < 1./13},
	} {
		h.check(t)
	}
	specialist, _ := crushing(puffer.Species, 0, typical)
	fed, _ := crushing(puffer.Species, 0, kinder)
	clawed, shell := crushing(crayfish.Species, 1, typical)
	above, below := m.of(8), m.of(8, func(sp *species.Species) { sp.Zones.Share = [3]float64{0, 0, 1} })
	for _, s := range []share{
		{"a well-fed specialist against a hungry one", fed / specialist, 0.6},
		{"the strongest claws against a specialist", clawed / specialist, 0.7},
		{"the shell that claws open, in their owner's lengths", shell, 0.9},
		{"a crab's reach against a crayfish's, by length", math.Exp(m.grip(crab.Species, 5) - m.grip(crayfish.Species, 5)), 2},
		{"night beside claws, far above them, against that on the ground", atNight(&above.fish, typical) / atNight(&below.fish, typical), 0.4},
		{"a shrimp beside a bully, against a fish", regard(&above.fish, &shrimp(3).fish) / regard(&above.fish, &below.fish), 0.35},
	} {
		s.check(t)
	}
}

func TestWhoPressesWhom(t *testing.T) {
	m := testModel(t)
	ordinary := animal(10)
	grazer := animal(10, ofGuild(species.AlgaeGrazer))
	shoal := func(sp *species.Species) { sp.Social = species.Group; sp.Traits[species.GroupMin] = grade(6) }
	enough, alone := m.of(5, shoal), m.of(5, shoal)
	alone.shortfall = 1
	males := m.Profile(ordinary, Individual{Sex: species.Male})
	untold := m.Profile(ordinary, Individual{})
	fights := func(p *Profile) float64 { h := m.ownKindHazard(&p.fish, &p.fish); return h[0] + h[1] }
	for _, h := range []holds{
		{"an aggressive fish lets go", fury(1, 0.54, 20) == 0},
		{"a fiercer one does not", fury(1, 0.57, 20) > 0},
		{"one of 15 cm has the jaws of a larger one", fury(1, 1, 15) == fury(1, 1, 30)},
		{"one of 14 cm has not", fury(1, 1, 14) < fury(1, 1, 30)},
		{"a grazer in thin armour is seen", m.noticed(grazer, 0.29) == 1},
		{"one in thicker armour is no rival", m.noticed(grazer, 0.32) == m.w.GrazerSpared},
		{"a seventh more length is as large", sizeWord(1.15) == WordEqual && sizeWord(1/1.15) == WordEqual},
		{"a fifth more is larger", sizeWord(1.2) == WordSmaller && sizeWord(1/1.2) == WordLarger},
	} {
		h.check(t)
	}
	for _, s := range []share{
		{"a nipper alone against one of a full shoal", m.nips(&alone.fish) / m.nips(&enough.fish), 2},
		{"males told to be such against fish not told", fights(males) / fights(untold), 3},
	} {
		s.check(t)
	}
	if got := m.tireless(ordinary, 0.45); math.Abs(got-1) > 1e-9 {
		t.Errorf("an ordinarily active aggressor presses %v times as hard as one", got)
	}
	if got := m.strength(ordinary, 10, 0.27); math.Abs(got-math.Log(10)) > 1e-9 {
		t.Errorf("a fish of ordinary build and 10 cm is as strong as one of %v cm", math.Exp(got))
	}
	a, b := m.of(10), m.of(10, called("alter"))
	for _, c := range []struct {
		back float64
		want Code
	}{{0.55, SummaryAggression}, {0.65, SummaryRivals}} {
		tm := terms{press: [2]float64{1, c.back}, zone: 1, room: 1}
		x := explainer{m: m, a: a, b: b, c: &Conditions{}, t: &tm}
		if got := x.aggression(High).Code; got != c.want {
			t.Errorf("of blows and %v of them back it says %s, want %s", c.back, got, c.want)
		}
	}
}

func TestWhoIsTakenForARival(t *testing.T) {
	m := testModel(t)
	like := func(change func(*species.Species)) float64 {
		other := animal(10, func(sp *species.Species) { sp.ID, sp.ScientificName, sp.Shape = "alter", "Alter alter", "cichlid" }, change)
		return m.likeness(&m.of(10, func(sp *species.Species) { sp.Shape = "cichlid" }).fish, &m.Profile(other, Individual{}).fish)
	}
	congener := like(func(sp *species.Species) { sp.ScientificName = "Testus alter" })
	family, stranger := like(func(*species.Species) {}), like(func(sp *species.Species) { sp.Family = "Alteridae" })
	for _, s := range []share{
		{"a congener, against the own kind", congener, 0.85},
		{"an outline in another family, against the same in one", stranger / family, 0.6},
	} {
		s.check(t)
	}
	if congener >= 1 {
		t.Errorf("a congener is no less than the own kind: %v", congener)
	}
}

func TestWhatAKeeperHasSeenMovesTheTemper(t *testing.T) {
	seen := func(d Disposition, months float64) float64 {
		return Individual{Observed: d, MonthsObserved: months}.mood()
	}
	for _, s := range []share{
		{"the fiercest after a lifetime", seen(Fiercer, 1200), 1.6},
		{"the calmest after a lifetime", seen(Calmer, 1200), 1 / 1.6},
		{"what half a year counts of that", math.Log(seen(Fiercer, 6)) / math.Log(seen(Fiercer, 1200)), 0.632},
	} {
		s.check(t)
	}
	if got := (Individual{MonthsObserved: 12}).mood(); got != 1 || seen(Typical, 12) != 1 || (Individual{}).Observed != Typical {
		t.Errorf("of fish that were not judged the mood is %v", got)
	}
}

func TestYoungOfACrossing(t *testing.T) {
	m := testModel(t)
	guarding := func(x float64) float64 { return m.of(10, with(species.BroodGuarding, x)).actor.guarding }
	livebearer := saved(animal(5, func(sp *species.Species) { sp.Shape = "livebearer" }))
	for _, s := range []share{
		{"half-hearted parents against fierce ones", guarding(0.5) / guarding(1), 0.25},
		{"young of guarding parents against young born complete", saved(animal(10, with(species.BroodGuarding, 0.5))) / livebearer, 0.6},
		{"eggs left to chance against young born complete", saved(animal(10, with(species.BroodGuarding, 0))) / livebearer, 0.25},
	} {
		s.check(t)
	}
	scatters, guards := saved(animal(10, with(species.BroodGuarding, 0.29))), saved(animal(10, with(species.BroodGuarding, 0.31)))
	if scatters >= guards {
		t.Errorf("of parents that hardly guard %v comes up, of those that guard a little %v", scatters, guards)
	}
}

func TestWhoGoesShortAtTheTable(t *testing.T) {
	m := testModel(t)
	table := func(fast, slow float64) float64 {
		a, b := m.of(fast), m.of(slow)
		return chance(a.actor.table, b.victim.table)
	}
	looming := func(times float64) float64 { return m.looms(math.Log(times), 0) }
	for _, h := range []holds{
		{"a leisurely eater leaves some for all", hurry(0.3) == 0},
		{"a quicker one not quite", hurry(0.32) > 0},
		{"a brisk one leaves what it cannot find", hurry(0.5) == 1},
		{"a slower one a little more", hurry(0.48) < 1},
		{"mixed feeding bridges half a diet", beyondGreens(0.9, 0.42) == 0},
		{"and no more", beyondGreens(0.9, 0.38) > 0},
		{"company five times as long is as bad as can be", looming(5) == looming(50)},
		{"and four times as long is not", looming(4) < looming(5)},
	} {
		h.check(t)
	}
	for _, s := range []share{
		{"a bold one that goes short, against a shy one", goesShort(0) / goesShort(1), 0.6},
		{"the table between equals in length", table(10, 10), 2. / 3},
		{"the table of one a third as long", table(10, 30), 0.28},
	} {
		s.check(t)
	}
}

func TestSeasonsOfWater(t *testing.T) {
	m := testModel(t)
	likes := func(low, high float64) (cool, warm float64) {
		return m.seasons(animal(8, func(sp *species.Species) {
			sp.Water[species.Temperature] = species.WaterRange{Tolerated: species.Range{Low: 5, High: 35}, Preferred: species.Range{Low: low, High: high}, Basis: species.Memory}
		}))
	}
	cool := func(high float64) float64 { c, _ := likes(10, high); return c }
	warm := func(low float64) float64 { _, w := likes(low, 30); return w }
	for _, h := range []holds{
		{"a kind that likes 22.5 °C at most is one of cool water", cool(22.5) == cool(15)},
		{"one that likes 23 °C is less so", cool(23) < cool(15)},
		{"one that likes 25 °C still misses the season a little", cool(25) > 0},
		{"one that likes 25.5 °C does not", cool(25.5) == 0},
		{"a kind that is well at 20.5 °C needs no warmth", warm(20.5) == 0},
		{"one that wants 21 °C a little", warm(21) > 0},
		{"one that wants 23 °C nearly all", warm(23) < 1},
		{"one that wants 23.5 °C needs it", warm(23.5) == 1},
		{"water of which nothing is known may make a pairing just moderate", LevelOf(100*risk(unknownStress(harsher))) == Moderate},
		{"and hardly less would not", LevelOf(100*risk(0.9*unknownStress(harsher))) == Low},
	} {
		h.check(t)
	}
}

// Slight stress is not worth a word, and a little more is.
func TestSlightStressOfWaterIsNotTold(t *testing.T) {
	m := testModel(t)
	comfort := func(sp *species.Species) {
		for p, r := range [species.NumParameters][2]float64{{22, 28}, {6, 8}, {4, 14}, {0, 1}} {
			sp.Water[p] = species.WaterRange{Tolerated: species.Range{Low: r[0] - 1, High: r[1] + 1}, Preferred: species.Range{Low: r[0], High: r[1]}, Basis: species.Memory}
		}
	}
	a, b := m.of(8, comfort), m.of(8, comfort, called("alter"))
	for _, c := range []struct {
		stress float64 // of both together, that one feels: points of the score
		want   Code
	}{{0.035, WaterShared}, {0.045, WaterReadingEdge}} {
		a.water[species.Temperature] = accepts{low: 24, high: 26, tolLow: 20, tolHigh: 30, inside: c.stress, known: true}
		cond := Conditions{}
		cond.Reading[species.Temperature] = Reading{Value: 27, Known: true}
		b.water[species.Temperature] = accepts{low: 24, high: 28, tolLow: 20, tolHigh: 30, known: true}
		x := explainer{m: m, a: a, b: b, c: &cond, t: &terms{}}
		if got := x.water().Code; got != c.want {
			t.Errorf("a stress of %v is said as %s, want %s", c.stress, got, c.want)
		}
	}
}

func TestRoomAndTheReferenceTank(t *testing.T) {
	m := testModel(t)
	a, b := m.of(10, with(species.Territory, 0)), m.of(10, called("alter"))
	for _, c := range []struct{ length, height float64 }{{60, 30}, {100, 40}, {150, 60}, {240, 70}} {
		p := m.of(10, with(species.TankLength, c.length))
		if got := ConditionsFor(p, p, nil).HeightCM; math.Abs(got-c.height) > 1e-9 {
			t.Errorf("a tank of %v cm is taken to be %v cm high, want %v", c.length, got, c.height)
		}
	}
	usual := ConditionsFor(a, b, nil)
	vast, packed := usual, usual
	vast.ReferenceTank, vast.LengthCM, vast.WidthCM, vast.Cover = false, 5000, 5000, 1
	packed.OthersGroundCM2, packed.Cover = 1e7, 0
	if vast, packed := m.roomFor(&a.berth, &b.berth, &vast, false), m.roomFor(&a.berth, &b.berth, &packed, false); vast != 0.3 || packed != 2.5 {
		t.Errorf("in a vast tank blows count %v of the usual, in one packed with others %v", vast, packed)
	}
	bare, dense := usual, usual
	bare.Cover, dense.Cover = 0, 1
	low, high := m.roomFor(&a.berth, &b.berth, &dense, false), m.roomFor(&a.berth, &b.berth, &bare, false)
	if math.Abs(low*high-1) > 1e-9 {
		t.Errorf("normal cover is not midway between none, %v, and dense, %v", high, low)
	}
	for _, h := range []holds{
		{"a fish of 10 cm without a territory keeps 5 cm about itself", math.Abs(a.Ground()/a.territories-math.Pi*25) < 1e-9},
		{"a tank of 240 cm can be had", m.giant(240) == 0 && m.giant(250) == 0},
		{"one of 260 cm hardly", m.giant(260) > 0},
		{"the largest tank that a home is asked for has 240 cm", homeTanks()[len(homeTanks())-1].LengthCM == 240},
		{"a tank of 200 l is heavy", heavy(m, 200)},
		{"one of 198 l is not said to be", !heavy(m, 198)},
		{"armour by half may stick in a throat", spiny(animal(8, with(species.Armour, 0.5)))},
		{"less does not", !spiny(animal(8, with(species.Armour, 0.48)))},
	} {
		h.check(t)
	}
}

// heavy reports whether the floor is mentioned beside a tank of so many litres.
func heavy(m *Model, litres float64) bool {
	p := m.of(8)
	return slices.ContainsFunc(cautions(p.Species, p.Species, &terms{}, &Conditions{LengthCM: 100, WidthCM: 50, HeightCM: litres / 5}),
		func(n CautionNote) bool { return n.Code == HeavyTank })
}

func TestWhereTwoKindsMeet(t *testing.T) {
	top, middle := [species.NumZones]float64{0.5, 0.5, 0}, [species.NumZones]float64{0, 1, 0}
	met := overlap(&top, &middle, true, typical)
	for _, s := range []share{
		{"levels shared by half", met, 0.5},
		{"what the kinder end takes off", met - overlap(&top, &middle, true, kinder), 0.1},
		{"what the harsher end adds", overlap(&top, &middle, true, harsher) - met, 0.1},
		{"kinds whose levels nobody wrote down", overlap(&top, &middle, false, typical), 0.7},
	} {
		s.check(t)
	}
}

// What is seen at once is named before what is somewhat graver and slow.
func TestWhichReasonIsNamedFirst(t *testing.T) {
	by := func(value float64, quick Reason, blows float64) Reason {
		c := Causes{Value: value}
		c.By[quick], c.By[Aggression] = 1, blows
		return c.Reason()
	}
	for _, c := range []struct {
		quick      Reason
		less, more float64
	}{{Predation, 1.4, 1.6}, {FinNipping, 1.9, 2.1}} {
		if got := by(60, c.quick, c.less); got != c.quick {
			t.Errorf("beside blows %v times as bad, %s is told as %s", c.less, c.quick, got)
		}
		if got := by(60, c.quick, c.more); got != Aggression {
			t.Errorf("beside blows %v times as bad, %s is told as %s", c.more, c.quick, got)
		}
		if got := by(40, c.quick, 1.1); got != Aggression {
			t.Errorf("at a moderate score the greatest is told, not %s", got)
		}
	}
}

func TestLevelsReasonsAndBands(t *testing.T) {
	levels, reasons := map[string]bool{}, map[string]bool{}
	for l := range Level(NumLevels) {
		levels[l.String()] = true
	}
	for r := range Reason(NumReasons) {
		reasons[r.String()] = true
	}
	if len(levels) != 4 || !levels["severe"] || len(reasons) != 9 || !reasons["space"] {
		t.Errorf("levels %v, reasons %v", levels, reasons)
	}
	sure, unsure := bandOf(50, 0), bandOf(50, 2)
	for i, want := range [2]float64{-6, 6} {
		if got := unsure[i] - sure[i]; math.Abs(got-want) > 1e-9 {
			t.Errorf("two missing traits move end %d of the band by %v points, want %v", i, got, want)
		}
	}
}

// A summary fits a line of 140 characters, whatever the names, which stay legible.
func TestLongNamesAreShortenedToALine(t *testing.T) {
	for letters := 8; letters <= 80; letters += 4 {
		name := "Z" + strings.Repeat("y", letters-1)
		a := animal(30, func(sp *species.Species) { sp.ID, sp.Names[0].Text = "longus", name })
		p := Pairing{Score: Score{Level: Severe}, Summary: Statement{Code: SummaryShocks, Actor: a, Other: a}}
		if n := utf8.RuneCountInString(English(false).Summary(&p)); n > 140 {
			t.Errorf("names of %d letters make a summary of %d", letters, n)
		}
		exact := "{actor}" + strings.Repeat("-", 140-len(English(false).lang.lead[Severe])-len(": ")-letters)
		said := English(false).FillShort(exact, p.Summary, 140-len(English(false).lang.lead[Severe])-len(": "))
		if strings.Contains(said, "…") {
			t.Errorf("a name of %d letters that has room is shortened: %s", letters, said)
		}
		short := English(false).FillShort("{actor}", p.Summary, 1)
		if n := utf8.RuneCountInString(short); letters > 10 && (n < 8 || n > 10) {
			t.Errorf("a name of %d letters is shortened to %q", letters, short)
		}
	}
}

func TestCoverIsRaisedInTwentieths(t *testing.T) {
	m := testModel(t)
	seen := map[string]bool{}
	for step := range 80 {
		fierce := 0.2 + float64(step)/100
		for _, timid := range []float64{0.3, 0.6, 0.9} {
			a, b := m.of(12, with(species.AggressionOthers, fierce), with(species.Piscivory, 0)), m.of(8, with(species.Timidity, timid), called("alter"))
			for _, cover := range []float64{0, 0.5} {
				for _, r := range m.Explain(a, b, &Tank{Cover: cover, CoverKnown: true}).Remedies {
					if r.Cover == 0 {
						continue
					}
					if math.Abs(r.Cover*20-math.Round(r.Cover*20)) > 1e-6 || r.Cover > 0.95 {
						t.Errorf("cover of %v is asked for", r.Cover)
					}
					seen[fmt.Sprintf("%.2f", r.Cover)] = true
				}
			}
		}
	}
	for _, want := range []string{"0.05", "0.95"} {
		if !seen[want] {
			t.Errorf("nobody is asked for cover of %s: %v", want, seen)
		}
	}
}

// A slight hazard, up to a tenth, keeps every digit: a small share of a large list still adds up.
func TestSlightHazardsKeepTheirDigits(t *testing.T) {
	for h := 1e-12; h < 0.0999; h *= 1.1 {
		if got, want := risk(h), -math.Expm1(-h); got != want {
			t.Errorf("a hazard of %v is a risk of %v, want %v", h, got, want)
		}
	}
}
