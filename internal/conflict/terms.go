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
	own := a.Species == b.Species || a.Species.ID == b.Species.ID
	t.zone = m.meeting(a, b, e)
	t.room = m.roomFor(a, b, c, e)
	t.cramped = cramped(a, b, c)
	t.water = m.waterHazard(a, b, c, e)
	m.take(&t, 0, a, b, e)
	m.take(&t, 1, b, a, e)
	if own {
		t.rival = m.ownKindHazard(a, b, e)
		return t
	}
	t.rival = m.rivalHazard(a, b, e)
	t.press[0], t.guard[0] = m.pressHazard(a, b, e)
	t.press[1], t.guard[1] = m.pressHazard(b, a, e)
	t.mistake[0], t.mistake[1] = m.mistakeHazard(a, b, e), m.mistakeHazard(b, a, e)
	t.nip[0] = m.nipHazard(a, b, e)
	t.nip[1] = m.nipHazard(b, a, e)
	m.feed(&t, a, b, e)
	if Crosses(a.Species, b.Species) {
		t.hybrid = m.w.HybridCrossing
	}
	return t
}

// feed fills in what the two do to each other at the table.
func (m *Model) feed(t *terms, a, b *Profile, e end) {
	shared := m.sharedTable(a, b, e)
	if !fedByTank(b.Species) {
		t.race[0] = m.w.FeedingRace * shared * paceGap(a.actor[e].pace, b.victim[e].pace)
	}
	if !fedByTank(a.Species) {
		t.race[1] = m.w.FeedingRace * shared * paceGap(b.actor[e].pace, a.victim[e].pace)
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

// sizeEdge is the advantage of the presser over the pressed, 0 to 1.
func (m *Model) sizeEdge(i *actor, j *victim) float64 {
	return sigmoid(m.w.EdgeSteepness * (i.lnLength - j.lnEdge))
}

// pressHazard is what i's aggression to other kinds, and its guarding of a brood,
// does to j. A guarding pair spares the large and the bold less than a bully does.
func (m *Model) pressHazard(i, j *Profile, e end) (press, guard float64) {
	act, suf := &i.actor[e], &j.victim[e]
	edge, noticed := m.sizeEdge(act, suf), regard(i, j)
	press = m.w.Pressure * act.pressure * edge * suf.yields * noticed
	return press, m.w.BroodGuarding * act.guarding * math.Pow(edge*suf.nerve, guardReach) * suf.unshielded * noticed
}

// mistakeHazard is what i, a fighter that shows its fins, does to j for fins of its own
// size.
func (m *Model) mistakeHazard(i, j *Profile, e end) float64 {
	if i.Species.BodyForm.Invertebrate() || j.Species.BodyForm.Invertebrate() {
		return 0
	}
	act := &i.actor[e]
	return m.w.Rivalry * mistakenGain * act.own * act.fins * j.victim[e].fins
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
	crowd := p.Species.Social == species.Group || p.Species.Social == species.Colony
	return p.Individual.Sex == species.Male && !crowd
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
// fed (squared pace) and hardly by one that rasps wood and wafers at night.
func dietGap(a, b *Profile, e end) float64 {
	green := a
	if b.animalFood < a.animalFood {
		green = b
	}
	pace := green.actor[e].pace
	return pace * pace * max(0, math.Abs(a.animalFood-b.animalFood)-dietTolerance) / (1 - dietTolerance)
}

// paceGap is how far i outpaces j at feeding, 0 to 1, beyond what any keeper bridges.
func paceGap(i, j float64) float64 {
	return max(0, i-j-paceTolerance) / (1 - paceTolerance)
}
