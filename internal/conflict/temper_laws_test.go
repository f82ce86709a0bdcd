package conflict

import (
	"testing"

	"commensal/internal/species"

	"pgregory.net/rapid"
)

func TestMalesThatAreToldFightNoLessThanAPairOrAShoal(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a := drawSpecies(t, "a")
		a.MaleTraits = species.TraitSet{}
		told, untold := m.Profile(a, Individual{Sex: species.Male}), m.Profile(a, Individual{})
		c := ConditionsFor(untold, untold, nil)
		males, mixed := m.evaluate(told, told, &c, typical), m.evaluate(untold, untold, &c, typical)
		gain := 1.0
		if a.Social != species.Group && a.Social != species.Colony {
			gain += maleGain
		}
		if x, y := males.clash(0), gain*mixed.clash(0); x < y-tiny || x > y+tiny {
			t.Fatalf("%s: males fight %v, want %v", a.Social, x, y)
		}
	})
}

func TestLongerFinsNeverCalmAFighterThatShowsItsOwn(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b := withForm(drawSpecies(t, "a"), species.Fusiform, species.Invertivore), withForm(drawSpecies(t, "b"), species.Fusiform, species.Omnivore)
		b.Traits[species.LongFins] = band(t, "fins", 0, 0.5)
		_, before := scorePair(m, a, b, nil)
		_, after := scorePair(m, a, scaled(b, species.LongFins, rapid.Float64Range(1, 2).Draw(t, "longer")), nil)
		if after.mistake[0] < before.mistake[0]-tiny {
			t.Fatalf("mistaken %v, with longer fins %v", before.mistake[0], after.mistake[0])
		}
		short := *a
		short.Traits[species.LongFins], short.MaleTraits[species.LongFins] = species.Value{Basis: species.Memory}, species.Value{}
		if _, plain := scorePair(m, &short, b, nil); plain.mistake[0] != 0 {
			t.Fatalf("one without a show of fins is provoked by %v", plain.mistake[0])
		}
	})
}

// A fish beyond what it tolerates is worse off with every step, and a compromise that
// suits neither is worse than one that is bad for one of the two alone.
func TestWaterMountsBeyondWhatAFishToleratesAndWhereNeitherIsAtEase(t *testing.T) {
	m := testModel(t)
	within, beyond := m.stressHazard(1)-m.stressHazard(0.9), m.stressHazard(1.1)-m.stressHazard(1)
	if beyond < within+outsideHazard*0.1-tiny {
		t.Errorf("the last step inside costs %v, the first outside %v", within, beyond)
	}
	fish := func(name string, low, high float64) *Profile {
		sp := &species.Species{ID: species.ID(name), ScientificName: "A " + name}
		for p := range sp.Water {
			sp.Water[p] = species.WaterRange{Tolerated: species.Range{Low: 0, High: 40}, Preferred: species.Range{Low: 0, High: 40}, Basis: species.Memory}
		}
		sp.Water[species.Temperature] = species.WaterRange{Tolerated: species.Range{Low: low - 2, High: high + 2}, Preferred: species.Range{Low: low, High: high}, Basis: species.Memory}
		return m.Profile(sp, Individual{})
	}
	cool, warm, broad := fish("cool", 16, 20), fish("warm", 22, 26), fish("broad", 16, 26)
	at := func(a, b *Profile, celsius float64) float64 {
		c := Conditions{}
		c.Reading[species.Temperature] = Reading{Value: celsius, Known: true}
		return m.waterHazard(a, b, &c, typical)
	}
	one := at(cool, broad, 21) + at(warm, broad, 21)
	if both := at(cool, warm, 21); both <= one+tiny {
		t.Errorf("off for both: %v, off for each alone: %v together", both, one)
	}
}
