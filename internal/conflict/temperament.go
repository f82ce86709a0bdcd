package conflict

import (
	"math"

	"commensal/internal/species"
)

// Temperament: will one harass, bite or fight the other. Common practice, no source.
const (
	// loneGain is how much harder nippers (and bullies of a shoal) bite when the group is
	// wholly missing: 1 doubles the hazard of one alone.
	loneGain = 1.0
	// spareCongener is the share of its biting and pressing from which a shoaling fish spares
	// others of its genus that shoal and are as large.
	spareCongener = 0.9
	// maleGain is how much harder males fight each other where a keeper says that the
	// fish are males, and their kind lives in pairs, in harems or alone.
	maleGain = 2.0
	// furyFrom is the grade of aggression from which a fish does not let go and wounds what
	// it cannot swallow.
	furyFrom = 0.55
	// jawsLength is the length in cm from which such a fish has the jaws for it.
	jawsLength = 15.0
	// ordinaryActivity is the grade of activity of an ordinary aggressor: one that swims more
	// finds the others everywhere, one that sits guards its spot.
	ordinaryActivity = 0.45
	// grazerArmour is the armour from which a grazer that clings to wood is left alone.
	grazerArmour = 0.3
	// equalLength is the |ln(length ratio)| under which words call two fish equals.
	equalLength = 0.15
)

// The statements about temperament.
const (
	TemperPresses     Code = "temperament.presses"
	TemperStands      Code = "temperament.stands"
	TemperMild        Code = "temperament.mild"
	TemperRivals      Code = "temperament.rivals"
	TemperMayRival    Code = "temperament.may_rival"
	TemperMistakes    Code = "temperament.mistakes"
	TemperPeaceful    Code = "temperament.peaceful"
	TemperNearPeace   Code = "temperament.near_peace"
	TemperOwnKind     Code = "temperament.own_kind"
	TemperOwnKindCalm Code = "temperament.own_kind_calm"
)

// The one-sentence summaries of temperament.
const (
	SummaryMayHarass  Code = "summary.may_harass"
	SummaryMayFight   Code = "summary.may_fight"
	SummaryAggression Code = "summary.aggression"
	SummaryRivals     Code = "summary.rivals"
	SummaryOwnKind    Code = "summary.own_kind"
	SummaryMayOwnKind Code = "summary.may_own_kind"
)

// temperamentWeights are the fitted numbers of this factor.
var temperamentWeights = []WeightSpec{
	{"pressure", "hazard of full aggression against a far smaller, defenceless fish", 5, 1, 12, func(w *Weights) *float64 { return &w.Pressure }},
	{"pressure_power", "exponent of the curve of the aggression grade; higher spares mild fish", 1.9, 1.1, 3.5, func(w *Weights) *float64 { return &w.PressurePower }},
	{"edge_steepness", "slope of the size edge over ln(length ratio); higher presses the smaller and spares the larger", 0.6, 0.2, 4, func(w *Weights) *float64 { return &w.EdgeSteepness }},
	{"build", "weight of a deep body against a slender one in that edge, in ln of the length for each ln of the depth ratio", 0.25, 0.02, 1, func(w *Weights) *float64 { return &w.Build }},
	{"hardiness", "share of the pressure that even a bold, quick fish feels", 0.1, 0.02, 0.9, func(w *Weights) *float64 { return &w.Hardiness }},
	{"slow_weight", "weight of slowness against timidity in what makes a fish easy to harass", 2, 0.1, 5, func(w *Weights) *float64 { return &w.SlowWeight }},
	{"restless", "how much harder an aggressor presses for each grade of activity above the ordinary", 0.5, 0.02, 2, func(w *Weights) *float64 { return &w.Restless }},
	{"company", "how much harder aggressors press that live in groups or colonies", 0.12, 0.005, 1, func(w *Weights) *float64 { return &w.Company }},
	{"grazer_spared", "share of the pressure that reaches an armoured grazer, which sits still and is no rival", 0.45, 0.1, 1, func(w *Weights) *float64 { return &w.GrazerSpared }},
	{"armour_shields", "share of harassment that full armour takes", 0.9, 0.2, 0.98, func(w *Weights) *float64 { return &w.ArmourShields }},
	{"arms_match", "share of what armour and sitting still spare a fish that it is not spared by its like, which has the same arms and wants the same place", 0.5, 0.02, 1, func(w *Weights) *float64 { return &w.ArmsMatch }},
	{"fury_cows", "how far a fish that does not let go cows even the bold", 0.2, 0.02, 1, func(w *Weights) *float64 { return &w.FuryCows }},
	{"fury_pierces", "how far such a fish wounds even the armoured", 0.4, 0.02, 1, func(w *Weights) *float64 { return &w.FuryPierces }},
	{"shoal_bears", "share of a pressure that one fish of a full-sized shoal feels", 0.92, 0.4, 1, func(w *Weights) *float64 { return &w.ShoalBears }},
	{"rivalry", "hazard between two fully intolerant look-alikes of different species", 1.9, 0.3, 6, func(w *Weights) *float64 { return &w.Rivalry }},
	{"rival_power", "exponent on the product of two grades: it takes two that mean it", 2.8, 1, 4, func(w *Weights) *float64 { return &w.RivalPower }},
	{"like_shape", "likeness of two species of one family and outline, 1 being the same species", 0.34, 0.1, 0.7, func(w *Weights) *float64 { return &w.LikeShape }},
	{"like_colour", "likeness that shared colours add to a shared outline", 0.2, 0.02, 0.3, func(w *Weights) *float64 { return &w.LikeColour }},
	{"own_kind", "hazard within one species that kills its own kind", 2, 1.5, 4, func(w *Weights) *float64 { return &w.OwnKind }},
	{"own_power", "exponent on the grade of aggression to the own kind: bickering is one thing, killing another", 2.2, 1, 4, func(w *Weights) *float64 { return &w.OwnPower }},
	{"mistaken", "hazard of fins of its own size for one that fights its own kind to the death by showing its fins", 1.4, 1.15, 3, func(w *Weights) *float64 { return &w.Mistaken }},
}

// pressing is the pressure of a grade of aggression, 0 to 1: a Hill curve, so that mild
// fish press less than in proportion and among the fierce the grade matters less.
func (m *Model) pressing(grade float64) float64 {
	g := math.Pow(grade, m.w.PressurePower)
	return 2 * g / (1 + g)
}

// tireless is the factor on an aggressor's pressure by how much it swims and in what
// company it lives.
func (m *Model) tireless(sp *species.Species, activity float64) float64 {
	f := 1 + m.w.Restless*(activity-ordinaryActivity) // above 0 for every legal weight
	if sp.Social == species.Group || sp.Social == species.Colony {
		f *= 1 + m.w.Company
	}
	return f
}

// fury is how far a fish does not let go, 0 to 1; it takes jaws to wound.
func fury(temper, grade, length float64) float64 {
	return min(1, temper*max(0, grade-furyFrom)/(1-furyFrom)) * min(1, length/jawsLength)
}

// noticed is the share of a pressure that reaches a fish by what it is: a grazer in armour
// sits still and is no rival.
func (m *Model) noticed(sp *species.Species, armour float64) float64 {
	if sp.Guild == species.AlgaeGrazer && armour > grazerArmour {
		return m.w.GrazerSpared
	}
	return 1
}

// unspared is the share of its biting and pressing from which j is not spared: those that
// live in a shoal spare fish of their genus that shoal and are as large, much as their own
// kind.
func unspared(i, j *fish) float64 {
	if !i.shoals || !j.shoals || i.genus != j.genus {
		return 1
	}
	return 1 - spareCongener*min(1, j.victim.lengthCM/i.actor.lengthCM)
}

// usualDepth is the depth of an ordinary fish, as a share of its length.
const usualDepth = 0.27

// strength is the ln of the length in cm of an ordinary fish that is as strong as one of a
// length and build: a pipefish is weaker than its length says.
func (m *Model) strength(sp *species.Species, length, depth float64) float64 {
	ln := math.Log(length)
	if sp.BodyForm.Invertebrate() || depth <= 0 {
		return ln
	}
	return ln + m.w.Build*math.Log(depth/usualDepth)
}

// bearsAlone is the share of a pressure that one fish of the line feels: a shoal on the
// move spreads it, the less the more it is short of company.
func (m *Model) bearsAlone(j *fish) float64 {
	if !j.shoals {
		return 1
	}
	return 1 - (1-m.w.ShoalBears)*(1-j.shortfall)
}

// pressHazard is what i's aggression to other kinds, and its guarding of a brood,
// does to j. A guarding pair spares the large and the bold less than a bully does, and
// neither nerve nor armour saves a fish from one that does not let go.
func (m *Model) pressHazard(i, j *fish) (press, guard float64) {
	act, suf := &i.actor, &j.victim
	if act.pressure == 0 && act.guarding == 0 {
		return 0, 0
	}
	noticed, unshielded := suf.noticed, suf.unshielded
	if noticed < 1 || unshielded < 1 {
		if match := m.armsMatch(i, j); match > 0 {
			noticed += (1 - noticed) * match
			unshielded += (1 - unshielded) * match
		}
	}
	edge, felt := chance(act.edge, suf.edge), regard(i, j)*m.bearsAlone(j)*noticed
	press = m.pressure(&act.bully, suf.nerve, edge, unshielded, felt) * unspared(i, j)
	if act.guarding == 0 {
		return press, 0
	}
	return press, m.guarded(act.guarding, suf.nerve, edge, unshielded, felt)
}

// pressure is the hazard of a bully for one of some nerve, by its edge over it, what armour leaves and the share that is felt.
func (m *Model) pressure(i *bully, nerve, edge, unshielded, felt float64) float64 {
	cowed := nerve + (1-nerve)*m.w.FuryCows*i.fury
	hurt := unshielded + (1-unshielded)*m.w.FuryPierces*i.fury
	return m.w.Pressure * i.pressure * edge * cowed * hurt * felt
}

// guarded is the same of one that guards its brood.
func (m *Model) guarded(guarding, nerve, edge, unshielded, felt float64) float64 {
	return m.w.BroodGuarding * guarding * math.Sqrt(edge*nerve) * unshielded * felt
}

// armsMatch is how far armour fails between two of one family and outline.
func (m *Model) armsMatch(i, j *fish) float64 {
	if i.shape == unnamed || i.shape != j.shape || i.family != j.family {
		return 0
	}
	return m.w.ArmsMatch
}

// mistakeHazard is what i, a fighter that shows its fins, does to j for fins of its own
// size.
func (m *Model) mistakeHazard(i, j *fish) float64 {
	act := &i.actor
	if act.fins == 0 || j.victim.fins == 0 || i.spineless || j.spineless {
		return 0
	}
	return m.shows(act) * j.victim.fins
}

// shows is the hazard of a fighter that shows its fins for one with fins as large.
func (m *Model) shows(i *actor) float64 { return m.w.Mistaken * i.own * i.fins }

// rivalHazard is the fighting of two kinds that take each other for rivals, split by who
// is the larger.
func (m *Model) rivalHazard(a, b *fish) [2]float64 {
	h := m.w.Rivalry * a.actor.alike * b.actor.alike
	if h == 0 {
		return [2]float64{}
	}
	if h *= m.likeness(a, b); h == 0 {
		return [2]float64{}
	}
	return split(h, a, b)
}

// ownKindHazard is the fighting within one kind; a shoal short of company fights harder,
// and so do males of one form that meet males. Of a kind that lives alone the fiercer decides: a male
// fighter kills its female, where a pair or a harem would come to terms.
func (m *Model) ownKindHazard(a, b *fish) [2]float64 {
	gain := 1 + loneGain*max(a.shortfall, b.shortfall)
	if a.sp == b.sp && a.rivalMales && b.rivalMales {
		gain += maleGain
	}
	temper := math.Sqrt(a.actor.own * b.actor.own)
	if a.loner { // nothing stays the fiercer one's bite
		temper = max(a.actor.own, b.actor.own)
	}
	return split(m.w.OwnKind*gain*temper, a, b)
}

// rivalMales reports whether the line is told to be males of a kind whose males do not
// live side by side.
func rivalMales(sp *species.Species, ind Individual) bool {
	return ind.Sex == species.Male && sp.Social != species.Group && sp.Social != species.Colony
}

// split divides a mutual hazard by who is the larger: equals share it.
func split(h float64, a, b *fish) [2]float64 {
	h /= a.actor.edge + b.actor.edge // the edge of the one is b's ÷ both
	return [2]float64{h * b.actor.edge, h * a.actor.edge}
}

// clash is the aggression of direction d, brood guarding left out.
func (t *terms) clash(d int) float64 { return t.press[d] + t.mistake[d] + t.rival[d] }

// temper states the strongest of harassment, rivalry and fin-nipping.
func (x *explainer) temper() Statement {
	if x.sameKind() {
		return x.amongItself()
	}
	press, nip, mistake := heavier(x.t.press), heavier(x.t.nip), heavier(x.t.mistake)
	rival := x.t.rival[0] + x.t.rival[1]
	strongest := max(x.t.press[press], x.t.nip[nip], x.t.mistake[mistake], rival)
	switch {
	case risk(strongest) < possibleRisk/2:
		return x.peaceful()
	case strongest == x.t.press[press]:
		return x.presses(press)
	case strongest == x.t.mistake[mistake]:
		return x.mistakes(mistake)
	case strongest == rival:
		return x.rivals(rival)
	}
	return x.nips(nip)
}

func (x *explainer) peaceful() Statement {
	all := x.t.clash(0) + x.t.clash(1) + x.t.nip[0] + x.t.nip[1]
	return Statement{Code: pick(risk(all) < possibleRisk/5, TemperPeaceful, TemperNearPeace), Actor: x.a.Species, Other: x.b.Species, Evidence: []Evidence{
		{"first_aggression", x.a.read(species.AggressionOthers), "grade"},
		{"second_aggression", x.b.read(species.AggressionOthers), "grade"},
	}}
}

func (x *explainer) rivals(h float64) Statement {
	return Statement{Code: pick(risk(h*x.t.zone*x.t.room) >= certainRisk/2, TemperRivals, TemperMayRival), Actor: x.a.Species, Other: x.b.Species, Evidence: []Evidence{
		{"first_aggression_alike", x.a.read(species.AggressionAlike), "grade"},
		{"second_aggression_alike", x.b.read(species.AggressionAlike), "grade"},
		{"likeness", x.m.likeness(&x.a.fish, &x.b.fish), "share"},
	}}
}

// amongItself states the stronger of fighting within a kind and nipping between its forms.
func (x *explainer) amongItself() Statement {
	nips := x.t.nip[0] + x.t.nip[1]
	if nips > x.t.rival[0]+x.t.rival[1] && risk(nips) >= possibleRisk/2 {
		return x.nips(heavier(x.t.nip))
	}
	return x.ownKind()
}

func (x *explainer) ownKind() Statement {
	own := x.a.read(species.AggressionOwn)
	s := Statement{Code: TemperOwnKind, Actor: x.a.Species, Other: x.b.Species, Evidence: []Evidence{
		{"aggression_own", own, "grade"},
		{"group_min", x.a.read(species.GroupMin), "fish"},
	}}
	if risk(x.t.rival[0]+x.t.rival[1]) < possibleRisk {
		s.Code = TemperOwnKindCalm
		return s
	}
	s.Words = []WordCode{ownWord(own)}
	return s
}

func (x *explainer) presses(d int) Statement {
	actor, other := x.side(d)
	ratio := actor.actor.lengthCM / other.victim.lengthCM
	timid := other.read(species.Timidity)
	code := TemperPresses
	if risk(x.t.press[d]*x.t.zone*x.t.room) < possibleRisk {
		code = TemperMild
	} else if nerveWord(timid) == WordBold {
		code = TemperStands
	}
	return Statement{Code: code, Actor: actor.Species, Other: other.Species,
		Evidence: []Evidence{
			{"aggression", actor.read(species.AggressionOthers), "grade"},
			{"length_ratio", ratio, "share"},
			{"timidity", timid, "grade"},
			{"territory", actor.read(species.Territory), "cm"},
		},
		Words: []WordCode{aggressionWord(actor.read(species.AggressionOthers)), sizeWord(ratio), nerveWord(timid)}}
}

func (x *explainer) mistakes(d int) Statement {
	actor, other := x.side(d)
	return Statement{Code: TemperMistakes, Actor: actor.Species, Other: other.Species, Evidence: []Evidence{
		{"aggression_own", actor.read(species.AggressionOwn), "grade"},
		{"long_fins", other.read(species.LongFins), "grade"},
	}}
}

// mutualShare is how even two directions must be for a fight rather than harassment.
const mutualShare = 0.6

// aggression is the summary of a pairing whose main reason it is.
func (x *explainer) aggression(level Level) Statement {
	h := [2]float64{x.t.clash(0), x.t.clash(1)}
	d := heavier(h)
	mutual := h[1-d] >= mutualShare*h[d]
	switch {
	case mutual && level == Moderate:
		return x.directed(SummaryMayFight, 0)
	case mutual:
		return x.directed(SummaryRivals, 0)
	case level == Moderate:
		return x.directed(SummaryMayHarass, d)
	}
	return x.directed(SummaryAggression, d)
}

// The words of temperament.
const (
	WordRelentless  WordCode = "relentless"
	WordAggressive  WordCode = "aggressive"
	WordTerritorial WordCode = "territorial"
	WordMild        WordCode = "mild"
	WordToTheDeath  WordCode = "to_the_death"
	WordFightsOwn   WordCode = "fights_own"
	WordQuarrels    WordCode = "quarrels"
	WordFarSmaller  WordCode = "far_smaller"
	WordSmaller     WordCode = "smaller"
	WordEqual       WordCode = "equal"
	WordLarger      WordCode = "larger"
	WordTimid       WordCode = "timid"
	WordYielding    WordCode = "yielding"
	WordBold        WordCode = "bold"
)

// AggressionWord is the word for a grade of aggression, 0 to 1: mild below 0.3,
// territorial from 0.3, aggressive from 0.5, relentless from 0.8. The grades are
// common practice, no source.
func AggressionWord(grade float64) WordCode { return aggressionWord(grade) }

func aggressionWord(grade float64) WordCode {
	switch {
	case grade >= 0.8:
		return WordRelentless
	case grade >= 0.5:
		return WordAggressive
	case grade >= 0.3:
		return WordTerritorial
	}
	return WordMild
}

// ownWord is the word for a grade of aggression to the own kind.
func ownWord(grade float64) WordCode {
	switch {
	case grade >= 0.8:
		return WordToTheDeath
	case grade >= 0.5:
		return WordFightsOwn
	}
	return WordQuarrels
}

func sizeWord(ratio float64) WordCode {
	switch ln := math.Log(ratio); {
	case ln > math.Ln2:
		return WordFarSmaller
	case ln > equalLength:
		return WordSmaller
	case ln < -equalLength:
		return WordLarger
	}
	return WordEqual
}

func nerveWord(timidity float64) WordCode {
	switch {
	case timidity >= 0.55:
		return WordTimid
	case timidity >= 0.25:
		return WordYielding
	}
	return WordBold
}
