package conflict

import (
	"math"

	"commensal/internal/species"
)

// terms are the hazards and multipliers of one pairing at one end of the trait
// bands, before they are combined. Index 0 is what the first does to the second.
type terms struct {
	swallow [2]float64 // size_ratio: taken whole, or a soft one picked apart
	bite    [2]float64 // size_ratio: bitten to pieces or stunned, whatever its size
	crush   [2]float64 // size_ratio: broken out of its shell
	claw    [2]float64 // size_ratio: gripped at night
	young   [2]float64 // size_ratio: its young eaten, itself left alone
	press   [2]float64 // temperament: aggression to other kinds
	mistake [2]float64 // temperament: the other's fins taken for a challenge
	rival   [2]float64 // temperament: look-alikes or own kind, split by size edge
	nip     [2]float64 // temperament
	race    [2]float64 // feeding: the first outpaces the second
	diet    float64    // feeding, shared
	guard   [2]float64 // breeding
	hybrid  float64    // breeding, shared
	water   float64    // water_range, shared
	cramped float64    // space, shared
	zone    float64    // multiplier in (0,1]: how much they meet
	room    float64    // multiplier: crowding and cover
}

// evaluate computes the terms of a pairing at one end of the bands.
func (m *Model) evaluate(a, b *Profile, c *Conditions, e end) terms {
	var t terms
	own := a.Species == b.Species || OneKind(a.Species, b.Species)
	t.zone = m.meeting(a, b, e)
	t.room = m.roomFor(a, b, c, e)
	t.cramped = cramped(a, b, c)
	t.water = m.waterHazard(a, b, c, e)
	m.take(&t, 0, a, b, e)
	m.take(&t, 1, b, a, e)
	if own {
		t.rival = m.ownKindHazard(a, b, e)
	}
	if a.Species == b.Species || a.Species.ID == b.Species.ID {
		return t
	}
	t.nip[0] = m.nipHazard(a, b, e)
	t.nip[1] = m.nipHazard(b, a, e)
	m.feed(&t, a, b, e)
	if own {
		return t
	}
	t.rival = m.rivalHazard(a, b, e)
	t.press[0], t.guard[0] = m.pressHazard(a, b, e)
	t.press[1], t.guard[1] = m.pressHazard(b, a, e)
	t.mistake[0], t.mistake[1] = m.mistakeHazard(a, b, e), m.mistakeHazard(b, a, e)
	if crosses(a.Species, b.Species) {
		t.hybrid = m.hybridHazard(a.Species, b.Species)
	}
	return t
}

// feed fills in what the two do to each other at the table.
func (m *Model) feed(t *terms, a, b *Profile, e end) {
	shared := m.sharedTable(a, b, e)
	if !fedByTank(a.Species) && !fedByTank(b.Species) {
		reach := m.w.FeedingRace * shared * (2 - shared) // the fast look for food beyond their level
		t.race[0] = reach * shortage(&a.actor[e], &b.victim[e])
		t.race[1] = reach * shortage(&b.actor[e], &a.victim[e])
	}
	if !a.Species.BodyForm.Invertebrate() && !b.Species.BodyForm.Invertebrate() {
		t.diet = m.w.DietClash * shared * dietGap(a, b, e)
	}
}

// eaten is the hazard of direction d to the other's life, its young left out.
func (t *terms) eaten(d int) float64 { return t.swallow[d] + t.bite[d] + t.crush[d] + t.claw[d] }

// swallowHazard is predation of one on the other: a Hill curve in the tighter of prey
// length against the prey limit and prey depth against the gape. A soft
// invertebrate is picked apart besides.
func (m *Model) swallowHazard(i *actor, j *victim) float64 {
	appetite, whole := i.appetite, 0.0
	if j.spineless {
		appetite = max(appetite, i.hunger)
		if !j.soft {
			appetite *= shellSpares
		}
	}
	if appetite > 0 {
		over := max(j.lnLength-i.lnPrey, j.lnDepth-i.lnGape)
		whole = m.w.Predation * appetite * j.swallowed * hill(swallowSteepness, over)
	}
	if j.soft {
		return max(whole, m.pickHazard(i, j)) + m.nibbleHazard(i, j)
	}
	return whole
}

// biteHazard is what a fish that both bites and eats fish takes out of another: a
// piranha or a large puffer needs no mouth wide enough to swallow.
func (m *Model) biteHazard(i *actor, j *victim) float64 {
	habit := max(0, i.piscivory*i.nipping-biteTolerance) / (1 - biteTolerance)
	return m.w.Piecemeal * habit * j.swallowed
}

// unspared is the share of its biting and pressing from which j is not spared: those that
// live in a shoal spare fish of their genus that shoal and are as large, much as their own
// kind.
func unspared(i, j *Profile, e end) float64 {
	if !i.shoals || !j.shoals || i.genus != j.genus {
		return 1
	}
	return 1 - likeCongener*min(1, math.Exp(j.victim[e].lnEdge-i.actor[e].lnLength))
}

// sizeEdge is the advantage of the presser over the pressed, 0 to 1.
func (m *Model) sizeEdge(i *actor, j *victim) float64 {
	return sigmoid(m.w.EdgeSteepness * (i.lnLength - j.lnEdge))
}

// pressHazard is what i's aggression to other kinds, and its guarding of a brood,
// does to j. A guarding pair spares the large and the bold less than a bully does, and
// neither nerve nor armour saves a fish from one that does not let go.
func (m *Model) pressHazard(i, j *Profile, e end) (press, guard float64) {
	act, suf := &i.actor[e], &j.victim[e]
	edge, noticed := m.sizeEdge(act, suf), regard(i, j)*alone(j)*unspared(i, j, e)
	cowed := suf.nerve + (1-suf.nerve)*furyCows*act.fury
	hurt := suf.unshielded + (1-suf.unshielded)*furyPierces*act.fury
	press = m.w.Pressure * act.pressure * edge * cowed * hurt * noticed
	return press, m.w.BroodGuarding * act.guarding * math.Sqrt(edge*suf.nerve) * suf.unshielded * noticed
}

// alone is the share of a pressure that one fish of the line feels: a shoal on the move
// spreads it, the less the more it is short of company.
func alone(j *Profile) float64 {
	if !j.shoals {
		return 1
	}
	return 1 - shoalSpreads*(1-j.shortfall)
}

// mistakeHazard is what i, a fighter that shows its fins, does to j for fins of its own
// size.
func (m *Model) mistakeHazard(i, j *Profile, e end) float64 {
	if i.Species.BodyForm.Invertebrate() || j.Species.BodyForm.Invertebrate() {
		return 0
	}
	act := &i.actor[e]
	return m.w.Rivalry * mistakenGain * act.own * act.own * act.fins * j.victim[e].fins
}

// rivalHazard is the fighting of two kinds that take each other for rivals.
func (m *Model) rivalHazard(a, b *Profile, e end) [2]float64 {
	h := m.w.Rivalry * a.actor[e].alike * b.actor[e].alike
	if h == 0 {
		return [2]float64{}
	}
	if h *= likeness(a.Species, b.Species); h == 0 {
		return [2]float64{}
	}
	return m.split(h, a, b)
}

// ownKindHazard is the fighting within one kind; a shoal short of company fights harder,
// and so do males that meet males.
func (m *Model) ownKindHazard(a, b *Profile, e end) [2]float64 {
	gain := 1 + loneNipperGain*max(a.shortfall, b.shortfall)
	if a.rivalMale() && b.rivalMale() {
		gain += maleGain
	}
	return m.split(m.w.OwnKind*gain*math.Sqrt(a.actor[e].own*b.actor[e].own), a, b)
}

// rivalMale reports whether the line is told to be males of a kind whose males do not
// live side by side.
func (p *Profile) rivalMale() bool {
	return p.Individual.Sex == species.Male && !p.shoals && p.Species.Social != species.Colony
}

// split divides a mutual hazard by who is the larger: equals share it.
func (m *Model) split(h float64, a, b *Profile) [2]float64 {
	first := sigmoid(m.w.EdgeSteepness * (a.actor[typical].lnLength - b.actor[typical].lnLength))
	return [2]float64{h * first, h * (1 - first)}
}

// nipHazard is what i's fin-nipping does to j.
func (m *Model) nipHazard(i, j *Profile, e end) float64 {
	gain := 1 + loneNipperGain*i.shortfall
	return m.w.Nipping * gain * i.actor[e].nipping * j.victim[e].nippable
}

// dietGap is how wrong the food of one is for the other, 0 to 1: the gap in animal
// matter beyond what mixed feeding bridges, felt by a grazer that storms whatever is
// fed (squared pace) and hardly by one that rasps wood and wafers at night. An eater of
// plankton does well on the fine greens that the grazer needs.
func dietGap(a, b *Profile, e end) float64 {
	green, meat := a, b
	if b.animalFood < a.animalFood {
		green, meat = b, a
	}
	if meat.Species.Guild == species.Planktivore {
		return 0
	}
	pace := green.actor[e].pace
	return pace * pace * max(0, math.Abs(a.animalFood-b.animalFood)-dietTolerance) / (1 - dietTolerance)
}

// shortage is how short j goes beside i at the same food, 0 to 1. What each gets goes by
// its pace; what is missing to the share on which a keeper can still bring it through is
// worse for the shy and slow, and less where i is far the smaller and soon full, or takes
// its time itself.
func shortage(i *actor, j *victim) float64 {
	gets := j.pace / max(i.pace+j.pace, 1e-9)
	missing := max(0, 1-gets/fairShare)
	if missing == 0 {
		return 0
	}
	return missing * clamp((i.pace-leisurely)/(brisk-leisurely), 0, 1) * (unshyShort + (1-unshyShort)*j.shy) * sigmoid(tableSteepness*(i.lnLength-j.lnEdge)+tableEdge)
}
