package conflict

import (
	"testing"

	"commensal/internal/species"

	"pgregory.net/rapid"
)

// withForm is the species in another body form, and of another guild.
func withForm(sp *species.Species, form species.BodyForm, guild species.Guild) *species.Species {
	c := *sp
	c.BodyForm, c.Guild = form, guild
	return &c
}

func TestStrongerClawsNeverLowerAScoreAndNoClawsGripNothing(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b, tank := withForm(drawSpecies(t, "a"), species.CrayfishForm, species.Scavenger), drawSpecies(t, "b"), drawTank(t)
		a.Traits[species.Claws] = band(t, "claws", 0, 0.5)
		strong := scaled(a, species.Claws, rapid.Float64Range(1, 2).Draw(t, "stronger"))
		before, weak := scorePair(m, a, b, tank)
		after, more := scorePair(m, strong, b, tank)
		if after.Value < before.Value-tiny || more.claw[0] < weak.claw[0]-tiny {
			t.Fatalf("claws raised: %v became %v, grip %v became %v", before.Value, after.Value, weak.claw[0], more.claw[0])
		}
		a.Traits[species.Claws] = species.Value{}
		if _, none := scorePair(m, a, b, tank); none.claw[0] != 0 {
			t.Fatalf("without claws it grips: %v", none.claw[0])
		}
	})
}

func TestAFishThatLivesHigherIsNeverGrippedMore(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b := withForm(drawSpecies(t, "a"), species.CrayfishForm, species.Scavenger), drawSpecies(t, "b")
		a.Traits[species.Claws] = band(t, "claws", 0.1, 1)
		low := b.Zones.Share[species.Bottom]
		higher := *b
		up := rapid.Float64Range(0, low).Draw(t, "up")
		higher.Zones.Share[species.Bottom] -= up
		higher.Zones.Share[species.Surface] += up
		_, before := scorePair(m, a, b, nil)
		if _, after := scorePair(m, a, &higher, nil); after.claw[0] > before.claw[0]+tiny {
			t.Fatalf("grip %v on the ground, %v above it", before.claw[0], after.claw[0])
		}
	})
}

func TestAnEaterOfShellsTakesSnailsOfItsSizeAndNoneFarLarger(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a := withForm(drawSpecies(t, "a"), species.SnailForm, species.Molluscivore)
		b := withForm(drawSpecies(t, "b"), species.SnailForm, species.AlgaeGrazer)
		length := rapid.Float64Range(1, 10).Draw(t, "length")
		for _, sp := range []*species.Species{a, b} {
			sp.MaleTraits[species.Length] = species.Value{}
			sp.Traits[species.Length] = species.Value{Band: species.Band{Low: length, Typical: length, High: length}, Basis: species.Memory}
		}
		_, equal := scorePair(m, a, b, nil)
		_, huge := scorePair(m, a, scaled(b, species.Length, 10), nil)
		whole := m.w.Predation * m.w.ShellCrush
		if equal.crush[0] < 0.9*whole || huge.crush[0] > 0.1*whole {
			t.Fatalf("of %v it crushes %v of its size, %v of ten times that", whole, equal.crush[0], huge.crush[0])
		}
	})
}

// What strains the water eats no animal that a keeper can see.
func TestAStrainerOfTheWaterEatsNobody(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a := withForm(drawSpecies(t, "a"), species.ClamForm, species.FilterFeeder)
		a.Traits[species.Piscivory], a.Traits[species.Claws] = species.Value{Basis: species.Memory}, species.Value{}
		if _, got := scorePair(m, a, drawSpecies(t, "b"), nil); got.eaten(0)+got.young[0] != 0 {
			t.Fatalf("it eats: %+v", got)
		}
	})
}
