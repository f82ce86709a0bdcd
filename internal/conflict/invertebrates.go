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
	// pickSteepness is the exponent of the curve of picking apart: less of a step than
	// swallowing, because what is not taken at once may be taken after a moult.
	pickSteepness = 3.0
	// nibblerHabit is the product of nipping and hunger up to which an eater does not
	// nibble crustaceans to death, and nibbleReach the length of one that is safe from
	// it for its size, in lengths of the nibbler.
	nibblerHabit, nibbleReach = 0.5, 1.5
	// youngLength is the length of the young that a colony lives on, as a share of
	// that of adults, and youngHazard the hazard of their being eaten: grown shrimps
	// stay, so it never makes more than a few points.
	youngLength, youngHazard = 0.12, 0.08

	// clawsCrush is what claws of grade 1 do to a shell, against a specialist.
	clawsCrush = 0.7
	// idleCrush is the readiness of a specialist on shells at the kinder end: well fed
	// ones leave some alone.
	idleCrush = 0.6
	// shellReach is the length of the shell, in its own lengths, at which a specialist
	// succeeds half the time: an assassin or a beak takes what is larger than itself, but no
	// pea puffer opens a mussel of a hand's breadth.
	shellReach = 3.5
	// loachReach is the same for a loach that sucks snails out of their shells.
	loachReach = 0.4

	// clawSteepness is the exponent of the curve of holding with claws.
	clawSteepness = 4.0
	// crabReach is how much farther the claws of a crab reach for its length, which is
	// only the width of its carapace.
	crabReach = 2.0
	// nightReach is the share of the hazard of claws for a fish that rests far above the
	// ground.
	nightReach = 0.4
	// bystander is the share of the pressure on fish that an invertebrate feels: it is
	// taken for food, not for a rival.
	bystander = 0.35
)

// invertebrateWeights are the fitted numbers about invertebrates.
var invertebrateWeights = []WeightSpec{
	{"shell_spares", "share of the readiness to swallow an animal that its shell leaves over", 0.2, 0.02, 1, func(w *Weights) *float64 { return &w.ShellSpares }},
	{"shell_crush", "share of the hazard of predation that a specialist on shells is to a snail", 0.7, 0.2, 1.2, func(w *Weights) *float64 { return &w.ShellCrush }},
	{"pick_apart", "share of the hazard of predation that the picking apart of a shrimp has; plants hide most of them", 0.6, 0.15, 1.5, func(w *Weights) *float64 { return &w.PickApart }},
	{"pick_length", "how many times longer than a fish that it swallows the soft crustacean is that an eater pulls to pieces", 2, 0.8, 5, func(w *Weights) *float64 { return &w.PickLength }},
	{"claw_grip", "hazard of ready claws to a fish that sleeps beside them", 1.6, 0.4, 4, func(w *Weights) *float64 { return &w.ClawGrip }},
	{"claw_reach", "length of that fish, in lengths of the claws' owner, at which holding it becomes doubtful", 1.1, 0.4, 2.5, func(w *Weights) *float64 { return &w.ClawReach }},
}

// hunger is the readiness to take small animals other than fish, from the share of animal
// matter in the diet; a strainer of particles takes none.
func hunger(sp *species.Species, animalFood float64) float64 {
	if sp.Guild == species.FilterFeeder {
		return 0
	}
	return clamp((animalFood-greenFood)/hungryFood, 0, 1)
}

// crushing is how readily a kind gets at the animal in a shell, and the length of shell it
// manages in its own lengths.
func crushing(sp *species.Species, claws float64, e end) (readiness, reach float64) {
	keen := [numEnds]float64{idleCrush, 1, 1}[e]
	switch {
	case sp.Guild == species.Molluscivore, sp.Family == "Tetraodontidae":
		return keen, shellReach
	case sp.Family == "Botiidae":
		return keen, loachReach
	}
	return clawsCrush * claws, clawShell
}

// clawShell is the length of the shell, in lengths of the claws' owner, that claws open.
const clawShell = 0.9

// takeSpineless fills in what i does to an invertebrate besides swallowing it.
func (m *Model) takeSpineless(t *terms, d int, act *actor, suf *victim, form species.BodyForm) {
	switch {
	case form.Shelled():
		if act.crush > 0 {
			t.crush[d] = m.w.Predation * m.w.ShellCrush * act.crush * chance(act.shell, suf.picked)
		}
	case form == species.ShrimpForm:
		if act.hunger > 0 {
			t.young[d] = youngHazard * act.hunger * chance(act.young, suf.picked)
		}
	}
}

var lnYoungLength, lnNibbleReach = math.Log(youngLength), math.Log(nibbleReach)

// pickHazard is what an eater of small animals does to a crustacean: it pulls it
// apart, or nibbles it to death.
func (m *Model) pickHazard(i *actor, j *victim) float64 {
	return m.w.Predation * m.w.PickApart * i.hunger * j.swallowed * chance(i.pick, j.picked)
}

// nibbleHazard is what a constant nipper that lives on small animals does to a
// crustacean near its own size.
func (m *Model) nibbleHazard(i *actor, j *victim) float64 {
	habit := max(0, i.nibbles-nibblerHabit) / (1 - nibblerHabit)
	if habit == 0 {
		return 0
	}
	return m.w.Piecemeal * habit * chance(i.nibble, j.picked)
}

// clawHazard is what claws do to a fish that rests within their reach.
func (m *Model) clawHazard(act *actor, suf *victim, j *fish, e end) float64 {
	return m.w.ClawGrip * act.claws * suf.swallowed * atNight(j, e) * chance(act.grip, suf.gripped)
}

// atNight is how far claws on the ground reach a resting animal: one of the bottom
// wholly, one that hangs above it at times.
func atNight(j *fish, e end) float64 {
	low := [numEnds]float64{0, unknownMeeting, 1}[e]
	if j.zonesKnown {
		low = j.zones[species.Bottom]
	}
	return nightReach + (1-nightReach)*low
}

// regard is the share of i's pressure that j feels.
func regard(i, j *fish) float64 {
	if j.spineless && !i.spineless {
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
func (m *Model) grip(sp *species.Species, length float64) float64 {
	if sp.BodyForm == species.CrabForm {
		length *= crabReach
	}
	return math.Log(m.w.ClawReach * length)
}

// spineless states what happens to an invertebrate at a risk of r.
func (x *explainer) spineless(d int, r float64) Code {
	_, prey := x.side(d)
	sure := r >= certainRisk
	switch {
	case r < possibleRisk:
		return SizeTakesYoung
	case prey.Species.BodyForm.Shelled():
		return pick(sure && x.t.crush[d] > x.t.swallow[d], SizeCrushes, SizeMayCrush)
	}
	return pick(sure, SizePicks, SizeMayPick)
}
