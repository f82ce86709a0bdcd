package conflict

import (
	"math"

	"commensal/internal/species"
)

// Predation: can one swallow the other, bite pieces out of it, or take it by chance. Unless
// a line names a publication its constants are common practice, no source. What is
// done to invertebrates, and by claws, is in invertebrates.go.
const (
	// biteTolerance is the product of fish-eating and biting habits up to which a fish
	// does not live on pieces of others.
	biteTolerance = 0.15

	// shockHazard is the hazard of a strong electric organ for any tank mate: such a
	// fish is kept alone.
	shockHazard = 1.5

	// grazerMishap and proberMishap are how often a grazer, which seldom looks up, and one
	// that searches the ground take a small fish by chance, against other eaters of animals.
	grazerMishap, proberMishap = 0.3, 0.5
)

// Below these risks a harm is called possible, or nothing at all.
const (
	certainRisk  = 0.5
	possibleRisk = 0.1
)

// The statements about size.
const (
	SizeSwallows    Code = "size.swallows"
	SizeMaySwallow  Code = "size.may_swallow"
	SizeMishap      Code = "size.mishap"
	SizeBites       Code = "size.bites"
	SizeShocks      Code = "size.shocks"
	SizePicks       Code = "size.picks"
	SizeMayPick     Code = "size.may_pick"
	SizeTakesYoung  Code = "size.takes_young"
	SizeCrushes     Code = "size.crushes"
	SizeMayCrush    Code = "size.may_crush"
	SizeClaws       Code = "size.claws"
	SizeMayClaw     Code = "size.may_claw"
	SizeTooDeep     Code = "size.too_deep"
	SizeSeldomTakes Code = "size.seldom_takes"
	SizeSafe        Code = "size.safe"
	SizeOwnKind     Code = "size.own_kind"
)

// The one-sentence summaries of predation.
const (
	SummaryPredation Code = "summary.predation"
	SummaryMayEat    Code = "summary.may_eat"
	SummaryBites     Code = "summary.bites"
	SummaryMayBite   Code = "summary.may_bite"
	SummaryShocks    Code = "summary.shocks"
	SummaryGrips     Code = "summary.grips"
	SummaryMayGrip   Code = "summary.may_grip"
)

// predationWeights are the fitted numbers of this factor.
var predationWeights = []WeightSpec{
	{"predation", "hazard when a keen predator meets prey that surely fits its mouth", 3, 1.5, 6, func(w *Weights) *float64 { return &w.Predation }},
	{"appetite_power", "exponent on readiness to take fish; lower trusts the half-hearted less", 0.55, 0.2, 1.3, func(w *Weights) *float64 { return &w.AppetitePower }},
	{"take_steepness", "exponent of the Hill curve in prey size against the limit; higher is nearer a step", 2.6, 1.5, 8, func(w *Weights) *float64 { return &w.TakeSteepness }},
	{"take_beyond", "the same for prey beyond the limit, which few fish try", 4, 2, 10, func(w *Weights) *float64 { return &w.TakeBeyond }},
	{"gape_share", "factor on the catalogued gape, beside that on the prey length", 0.5, 0.25, 1.5, func(w *Weights) *float64 { return &w.GapeShare }},
	{"depth_weight", "how far a body too deep for the gape saves a fish that is short enough; 1 wholly", 0.5, 0.02, 1, func(w *Weights) *float64 { return &w.DepthWeight }},
	{"limit_power", "exponent on the catalogued prey limit about a quarter of the own length; lower trusts the tales of very large prey less", 0.9, 0.4, 1.2, func(w *Weights) *float64 { return &w.LimitPower }},
	{"mettle", "share of being taken that a fish is spared which meets others head on; hunters choose what flees", 0.3, 0.01, 0.9, func(w *Weights) *float64 { return &w.Mettle }},
	{"sluggish", "how much more readily the slow are caught, in ln for each grade of slowness", 0.3, 0.01, 2, func(w *Weights) *float64 { return &w.Sluggish }},
	{"reach_ambush", "factor on the prey limit of those that strike from ambush", 1.4, 0.6, 2.5, func(w *Weights) *float64 { return &w.ReachAmbush }},
	{"reach_chase", "factor on the prey limit of those that run prey down", 1, 0.5, 2, func(w *Weights) *float64 { return &w.ReachChase }},
	{"reach_seize", "factor on the prey limit of those that seize what comes near by day", 0.8, 0.4, 2, func(w *Weights) *float64 { return &w.ReachSeize }},
	{"reach_prowl", "factor on the prey limit of those that find resting animals by smell and feeler", 1.6, 0.8, 3, func(w *Weights) *float64 { return &w.ReachProwl }},
	{"reach_suck", "factor on the prey limit of carps and goldfish, which suck in what fits", 1.4, 0.6, 3, func(w *Weights) *float64 { return &w.ReachSuck }},
	{"reach_sift", "factor on the prey limit of those that sift the ground", 1, 0.4, 2, func(w *Weights) *float64 { return &w.ReachSift }},
	{"reach_other", "factor on the prey limit of all others", 1.1, 0.5, 2, func(w *Weights) *float64 { return &w.ReachOther }},
	{"mishap", "hazard of a very small fish beside a large one that takes animal food, whatever its habits", 0.25, 0.02, 1.5, func(w *Weights) *float64 { return &w.Mishap }},
	{"mishap_length", "length of that small fish, in lengths of the large one, at which the chance is even", 0.13, 0.05, 0.16, func(w *Weights) *float64 { return &w.MishapLength }},
	{"mishap_steepness", "exponent of that curve", 5, 4, 9, func(w *Weights) *float64 { return &w.MishapSteepness }},
	{"piecemeal", "hazard of a constant biter that lives on fish, for fish of any size", 2.5, 0.3, 6, func(w *Weights) *float64 { return &w.Piecemeal }},
	{"armour_deters", "share of predation that full armour prevents; predators choke on the rest", 0.9, 0.3, 0.99, func(w *Weights) *float64 { return &w.ArmourDeters }},
	{"armour_power", "exponent on what is not armoured; lower trusts thin armour less", 0.8, 0.3, 3, func(w *Weights) *float64 { return &w.ArmourPower }},
}

// reach is the factor on the catalogued prey limit by the way of feeding.
func (m *Model) reach(sp *species.Species) float64 {
	switch {
	case sp.Shape == "goldfish":
		return m.w.ReachSuck
	case sp.FeedsBy == species.AmbushPrey:
		return m.w.ReachAmbush
	case sp.FeedsBy == species.ChasePrey:
		return m.w.ReachChase
	case sp.FeedsBy == species.SeizePrey:
		return m.w.ReachSeize
	case sp.FeedsBy == species.Prowl:
		return m.w.ReachProwl
	case sp.FeedsBy == species.SiftGround:
		return m.w.ReachSift
	}
	return m.w.ReachOther
}

// usualLimit is the prey limit of an ordinary eater of fish, as a share of its own length.
const usualLimit = 0.25

// lnLimit is the logarithm of the prey length, as a share of the own length, at which taking
// is even.
func (m *Model) lnLimit(sp *species.Species, limit float64) float64 {
	return math.Log(m.reach(sp)*usualLimit) + m.w.LimitPower*math.Log(limit/usualLimit)
}

// mishaps is how often a fish takes a very small one by chance, 0 to 1: an eater of greens
// spits it out.
func mishaps(sp *species.Species, animalFood float64) float64 {
	if sp.BodyForm.Invertebrate() {
		return 0
	}
	chance := min(1, 2*animalFood)
	switch sp.FeedsBy {
	case species.GrazeAlgae:
		chance *= grazerMishap
	case species.ProbeGround:
		chance *= proberMishap
	}
	return chance
}

// unarmoured is what armour leaves of predation, 0 to 1.
func (m *Model) unarmoured(armour float64) float64 {
	return 1 - m.w.ArmourDeters*(1-math.Pow(1-armour, m.w.ArmourPower))
}

// ordinarySlowness is the slowness of a fish that is caught as readily as most.
const ordinarySlowness = 0.25

// caught is how readily a fish is caught and taken, 1 being ordinary, by its aggression
// to others and its slowness. An invertebrate neither faces a fish nor outswims it.
func (m *Model) caught(sp *species.Species, aggression, slowness float64) float64 {
	if sp.BodyForm.Invertebrate() {
		return 1
	}
	return (1 - m.w.Mettle*aggression) * math.Exp(m.w.Sluggish*(slowness-ordinarySlowness))
}

// take fills in what i does to j as an eater of animals. A kind does not eat its own
// adults.
func (m *Model) take(t *terms, d int, i, j *fish, e end) {
	act, suf := &i.actor, &j.victim
	t.swallow[d], t.bite[d] = m.swallowHazard(act, suf), i.shock
	t.mishap[d], t.crush[d], t.young[d], t.claw[d] = 0, 0, 0, 0
	if act.bites > 0 {
		t.bite[d] += m.w.Piecemeal * act.bites * suf.swallowed * unspared(i, j)
	}
	if suf.spineless {
		m.takeSpineless(t, d, act, suf, j.body)
	} else if act.mishaps > 0 {
		t.mishap[d] = m.mishapHazard(&act.mouth, &suf.morsel)
	}
	if act.claws > 0 {
		t.claw[d] = m.clawHazard(act, suf, j, e)
	}
}

// swallowHazard is predation of one on the other: a Hill curve in prey length against the
// prey limit, eased where the body is too deep for the gape. A soft invertebrate is
// picked apart besides.
func (m *Model) swallowHazard(i *actor, j *victim) float64 {
	appetite, whole := i.appetite, 0.0
	if j.spineless {
		appetite = max(appetite, i.hunger)
		if !j.soft {
			appetite *= m.w.ShellSpares
		}
	}
	if appetite > 0 {
		whole = taking(m.w.Predation*appetite, &i.mouth, &j.morsel, m.w.DepthWeight)
	}
	if j.soft {
		return max(whole, m.pickHazard(i, j)) + m.nibbleHazard(i, j)
	}
	return whole
}

// taking is the hazard of prey that is taken whole, by how keen the other is on it; see [fitting].
func taking(keen float64, i *mouth, j *morsel, depthWeight float64) float64 {
	return keen * j.swallowed * j.caught * fitting(i, j, depthWeight)
}

// mishapHazard is that of a very small fish taken by chance.
func (m *Model) mishapHazard(i *mouth, j *morsel) float64 {
	return m.w.Mishap * i.mishaps * j.swallowed * chance(i.small, j.small)
}

// The curves of swallowing: prey within the limit and beyond it, by its length alone and
// eased by a body too deep for the gape.
const (
	within = iota
	beyond
	deepWithin
	deepBeyond
	numTakes
)

// fitting is how readily prey is taken for its size: a Hill curve of its length against the
// prey limit, eased where the body is too deep for the gape, by the weight of depth.
func fitting(i *mouth, j *morsel, depthWeight float64) float64 {
	over, deep, k := j.lnLength-i.lnPrey, j.lnDepth-i.lnGape, within
	if deep > over {
		k = deepWithin
	}
	if over+depthWeight*max(0, deep-over) > 0 { // no branch: among all kinds it would be guessed wrong
		k++
	}
	return chance(i.takes[k&3], j.takes[k&3])
}

// takesOf are e^(±steepness × ln size) of the curves of swallowing, sizes by length and by depth.
func (m *Model) takesOf(sign, lnLength, lnDepth float64) (out [numTakes]float64) {
	eased := lnLength + m.w.DepthWeight*(lnDepth-lnLength)
	out[within], out[beyond] = math.Exp(sign*m.w.TakeSteepness*lnLength), math.Exp(sign*m.w.TakeBeyond*lnLength)
	out[deepWithin], out[deepBeyond] = math.Exp(sign*m.w.TakeSteepness*eased), math.Exp(sign*m.w.TakeBeyond*eased)
	return out
}

// bites is how far a fish lives on pieces of others, 0 to 1: a piranha or a large puffer
// needs no mouth wide enough to swallow.
func bites(piscivory, nipping float64) float64 {
	return max(0, piscivory*nipping-biteTolerance) / (1 - biteTolerance)
}

// eaten is the hazard of direction d to the other's life, its young left out.
func (t *terms) eaten(d int) float64 {
	return t.swallow[d] + t.mishap[d] + t.bite[d] + t.crush[d] + t.claw[d]
}

// eating is the hazard of both directions, to young too.
func (t *terms) eating() float64 { return t.eaten(0) + t.young[0] + t.eaten(1) + t.young[1] }

// hunts is the direction of the graver predation.
func (x *explainer) hunts() int {
	return heavier([2]float64{x.t.eaten(0) + x.t.young[0], x.t.eaten(1) + x.t.young[1]})
}

// size states who can swallow whom.
func (x *explainer) size() Statement {
	d := x.hunts()
	hunter, prey := x.side(d)
	act, suf := &hunter.actor, &prey.victim
	s := Statement{Actor: hunter.Species, Other: prey.Species, Evidence: []Evidence{
		{"predator_length", hunter.largestLength(), "cm"},
		{"prey_length", math.Exp(suf.lnLength), "cm"},
		{"prey_limit", math.Exp(act.lnPrey), "cm"},
		{"prey_depth", math.Exp(suf.lnDepth), "cm"},
		{"gape", math.Exp(act.lnGape), "cm"},
	}}
	switch r := risk(x.t.eaten(d)); {
	case x.sameKind():
		s.Code = SizeOwnKind
	case hunter.shock > 0:
		s.Code = SizeShocks
	case r >= possibleRisk && x.t.claw[d] > x.t.eaten(d)/2:
		s.Code = pick(r >= certainRisk, SizeClaws, SizeMayClaw)
	case suf.spineless && (r >= possibleRisk || x.t.young[d] > youngHazard/4):
		s.Code = x.spineless(d, r)
	case r >= possibleRisk:
		s.Code = x.eats(d, r)
	default:
		x.harmless(&s, d)
	}
	return s
}

// pick is one of two codes.
func pick(first bool, a, b Code) Code {
	if first {
		return a
	}
	return b
}

// eats states how a fish is eaten at a risk of r.
func (x *explainer) eats(d int, r float64) Code {
	switch {
	case x.t.bite[d] > x.t.swallow[d]+x.t.mishap[d]:
		return SizeBites
	case x.t.mishap[d] > x.t.swallow[d]:
		return SizeMishap
	}
	hunter, prey := x.side(d)
	fits := prey.victim.lnLength <= hunter.actor.lnPrey
	return pick(r >= certainRisk && fits, SizeSwallows, SizeMaySwallow)
}

// harmless states why hardly anything is eaten.
func (x *explainer) harmless(s *Statement, d int) {
	hunter, prey := x.side(d)
	act, suf := &hunter.actor, &prey.victim
	switch {
	case suf.lnLength < act.lnPrey && suf.lnDepth > act.lnGape:
		s.Code = SizeTooDeep
	case suf.lnLength < act.lnPrey || risk(x.t.eaten(0)+x.t.eaten(1)+x.t.young[0]+x.t.young[1]) >= possibleRisk/5:
		s.Code = SizeSeldomTakes
	default:
		s.Code = SizeSafe
		if hunter.victim.lengthCM < suf.lengthCM {
			s.Actor, s.Other = prey.Species, hunter.Species
			s.Evidence[0].Value, s.Evidence[1].Value = prey.largestLength(), math.Exp(hunter.victim.lnLength)
		}
	}
}

// predation is the summary of a pairing whose main reason it is; it reuses the size
// statement, whose evidence has the two lengths.
func (x *explainer) predation(level Level) Statement {
	s := x.size()
	sure := level > Moderate
	switch s.Code {
	case SizeBites:
		s.Code = pick(sure, SummaryBites, SummaryMayBite)
	case SizeShocks:
		s.Code = SummaryShocks
	case SizeClaws, SizeMayClaw:
		s.Code = pick(sure, SummaryGrips, SummaryMayGrip)
	default:
		s.Code = pick(s.Code == SizeSwallows || s.Code == SizePicks || s.Code == SizeCrushes, SummaryPredation, SummaryMayEat)
	}
	return s
}

// largestLength is the typical length in cm of the larger sex in the line.
func (p *Profile) largestLength() float64 {
	return reader{sp: p.Species, ind: p.Individual}.largest(species.Length, typical)
}

// Length is the typical length of the line in cm, sexes not told apart.
func (p *Profile) Length() float64 {
	return reader{sp: p.Species, ind: p.Individual}.typical(species.Length)
}
