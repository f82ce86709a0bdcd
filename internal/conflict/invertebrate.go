package conflict

import (
	"math"

	"commensal/internal/species"
)

// Invertebrates are neither rivals nor fish: what eats fish may leave them alone, and
// what takes no fish may live on them. Shrimps and other crustaceans are picked apart,
// so that a mouth need not hold them whole; snails and clams are safe in their
// shells from all but specialists and mouths that hold shell and all; claws take
// what rests within reach, whatever the mouth. Common practice, no source.
const (
	// greenFood is the share of animal matter up to which an eater leaves small animals
	// alone, hungryFood the further share at which it never passes one by.
	greenFood, hungryFood = 0.15, 0.45
	// pickedApart is how many times longer than a fish that it swallows the soft
	// crustacean is that an eater pulls to pieces.
	pickedApart = 2.6
	// pickSteepness is the exponent of that curve: less of a step than swallowing,
	// because what is not taken at once may be taken after a moult.
	pickSteepness = 3.0
	// pickHazard is the share of the hazard of predation on fish that the picking apart
	// of a shrimp has: plants and moss hide most of them.
	pickHazard = 0.6
	// nibblerHabit is the product of nipping and hunger up to which an eater does not
	// nibble crustaceans to death, and nibbleReach the length of one that is safe from
	// it for its size, in lengths of the nibbler.
	nibblerHabit, nibbleReach = 0.5, 1.5
	// youngLength is the length of the young that a colony lives on, as a share of
	// that of adults, and youngHazard the hazard of their being eaten: grown shrimps
	// stay, so it never makes more than a few points.
	youngLength, youngHazard = 0.12, 0.08

	// shellSpares is the share of the readiness to swallow an animal that its shell leaves
	// over; armour counts besides.
	shellSpares = 0.7
	// crushHazard is the share of the hazard of predation that a specialist on shells is
	// to any snail, and clawsCrush what claws of grade 1 add to that.
	crushHazard, clawsCrush = 0.75, 0.7
	// idleCrush is the readiness of a specialist on shells at the kinder end: well fed
	// ones leave some alone.
	idleCrush = 0.6
	// loachReach is the length of the shell, in its own lengths, at which a loach that
	// sucks snails out of theirs succeeds half the time.
	loachReach = 0.4

	// clawHazard is the hazard of ready claws to a fish that sleeps beside them,
	// clawReach the length of that fish, in lengths of the claws' owner, at which
	// holding it becomes doubtful, and clawSteepness the exponent of that curve.
	clawHazard, clawReach, clawSteepness = 2.4, 0.9, 4.0
	// crabReach is how much farther the claws of a crab reach for its length, which is
	// only the width of its carapace.
	crabReach = 2.0
	// nightReach is the share of that hazard for a fish that rests far above the ground.
	nightReach = 0.4
	// bystander is the share of the pressure on fish that an invertebrate feels: it is
	// taken for food, not for a rival.
	bystander = 0.35
)

// hunger is the readiness to take small animals other than fish, from the share of animal
// matter in the diet; a strainer of particles takes none.
func hunger(sp *species.Species, animalFood float64) float64 {
	if sp.Guild == species.FilterFeeder {
		return 0
	}
	return clamp((animalFood-greenFood)/hungryFood, 0, 1)
}

// crushing is how readily a kind gets at the animal in a shell, and the length of shell it
// manages in its own lengths; 0 for no limit. What lives on shells takes those larger
// than itself; a puffer's beak does too, and the loaches of the botia family suck
// snails out.
func crushing(sp *species.Species, claws float64, e end) (readiness, reach float64) {
	keen := [numEnds]float64{idleCrush, 1, 1}[e]
	switch {
	case sp.Guild == species.Molluscivore, sp.Family == "Tetraodontidae":
		return keen, 0
	case sp.Family == "Botiidae":
		return keen, loachReach
	}
	return clawsCrush * claws, clawReach
}

// hill is the chance that something is taken whose size is e^over times the limit.
func hill(steepness, over float64) float64 { return 1 / (1 + math.Exp(steepness*over)) }

// take fills in what i does to j as an eater of animals: swallowing, biting, crushing,
// gripping at night, and eating its young.
func (m *Model) take(t *terms, d int, i, j *Profile, e end) {
	act, suf := &i.actor[e], &j.victim[e]
	t.swallow[d] = m.swallowHazard(act, suf)
	if OneKind(i.Species, j.Species) {
		return
	}
	t.bite[d] = i.shock
	if bite := m.biteHazard(act, suf); bite > 0 {
		t.bite[d] += bite * unspared(i, j, e)
	}
	if act.claws > 0 {
		t.claw[d] = clawHazard * act.claws * suf.swallowed * atNight(j, e) * hill(clawSteepness, suf.lnLength-act.lnGrip)
	}
	switch form := j.Species.BodyForm; {
	case form.Shelled():
		t.crush[d] = m.crushHazard(act, suf)
	case form == species.ShrimpForm:
		t.young[d] = youngHazard * act.hunger * hill(pickSteepness, suf.lnLength+math.Log(youngLength)-act.lnPrey)
	}
}

// pickHazard is what an eater of small animals does to a crustacean: it pulls it
// apart, or nibbles it to death.
func (m *Model) pickHazard(i *actor, j *victim) float64 {
	return m.w.Predation * pickHazard * i.hunger * j.swallowed * hill(pickSteepness, j.lnLength-i.lnPrey-math.Log(pickedApart))
}

// nibbleHazard is what a constant nipper that lives on small animals does to a
// crustacean near its own size.
func (m *Model) nibbleHazard(i *actor, j *victim) float64 {
	habit := max(0, i.nipping*i.hunger-nibblerHabit) / (1 - nibblerHabit)
	return m.w.Piecemeal * habit * hill(pickSteepness, j.lnLength-i.lnLongest-math.Log(nibbleReach))
}

// crushHazard is what an eater of shells does to a snail.
func (m *Model) crushHazard(i *actor, j *victim) float64 {
	reach := 1.0
	if i.crushReach > 0 {
		reach = hill(pickSteepness, j.lnLength-i.lnLongest-math.Log(i.crushReach))
	}
	return m.w.Predation * crushHazard * i.crush * reach
}

// atNight is how far claws on the ground reach a resting animal: one of the bottom
// wholly, one that hangs above it at times.
func atNight(j *Profile, e end) float64 {
	low := [numEnds]float64{0, unknownMeeting, 1}[e]
	if j.zonesKnown {
		low = j.zones[species.Bottom]
	}
	return nightReach + (1-nightReach)*low
}

// regard is the share of i's pressure that j feels.
func regard(i, j *Profile) float64 {
	if j.Species.BodyForm.Invertebrate() && !i.Species.BodyForm.Invertebrate() {
		return bystander
	}
	return 1
}

// fedByTank reports whether a kind lives on the film, the leavings and the fine
// particles of the tank: nobody outpaces it at a table.
func fedByTank(sp *species.Species) bool {
	grazes := sp.Guild == species.AlgaeGrazer || sp.Guild == species.Detritivore || sp.Guild == species.FilterFeeder
	return sp.BodyForm.Invertebrate() && grazes
}

// grip is the ln length in cm at which holding an animal becomes doubtful.
func (r reader) grip(length float64) float64 {
	if r.sp.BodyForm == species.CrabForm {
		length *= crabReach
	}
	return math.Log(clawReach * length)
}

// claws is the grade of the line's claws; what has no value has no claws.
func (r reader) claws(e end) float64 {
	v := r.sp.Trait(species.Claws, keptAs(r.sp, r.ind))
	return [numEnds]float64{v.Low, v.Typical, v.High}[e]
}
