package conflict

import (
	"math"
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

// A fish beyond what it tolerates is worse off with every step.
func TestWaterMountsBeyondWhatAFishTolerates(t *testing.T) {
	m := testModel(t)
	sp := &species.Species{}
	sp.Water[species.Temperature] = species.WaterRange{Tolerated: species.Range{Low: 20, High: 28}, Preferred: species.Range{Low: 22, High: 26}, Basis: species.Memory}
	w := m.acceptsAt(sp, species.Temperature, typical)
	within, beyond := w.stress(28)-w.stress(27.5), w.stress(28.5)-w.stress(28)
	if beyond <= within {
		t.Errorf("the last step inside costs %v, the first outside %v", within, beyond)
	}
	for x := 24.0; x < 40; x += 0.5 {
		if w.stress(x+0.5) < w.stress(x) || w.stress(48-x-0.5) < w.stress(48-x) {
			t.Errorf("stress falls away from the middle at %v", x)
		}
	}
}

// Trade forms of one species are each other's own kind: they fight as their species does
// and never cross, but a slow or veiled form still suffers from a plain one.
func TestFormsOfOneSpeciesAreOneKind(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		plain := drawSpecies(t, "plain")
		plain.Hybridises = []string{plain.Genus()}
		form := *plain
		form.ID, form.Form, form.FormOf = "plain-veil", "veil", plain.ID
		a, b := m.Profile(plain, Individual{}), m.Profile(&form, Individual{})
		c := ConditionsFor(a, b, drawTank(t))
		of, own := m.evaluate(a, b, &c, typical), m.evaluate(a, a, &c, typical)
		if of.rival != own.rival || of.press != own.press || of.bite != own.bite || of.hybrid != 0 || of.water != own.water {
			t.Fatalf("between forms %+v, within the species %+v", of, own)
		}
		if of.nip != [2]float64{m.nipHazard(&a.fish, &b.fish), m.nipHazard(&b.fish, &a.fish)} {
			t.Fatalf("nipping between forms %v", of.nip)
		}
	})
}

// A faster, larger eater never leaves a fish more, nor a bolder, faster one less.
func TestAFasterEaterNeverLeavesMore(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		share := rapid.Float64Range(0, 1)
		i, j := actor{pace: share.Draw(t, "pace"), lnStrong: 4 * share.Draw(t, "length")}, victim{
			pace: share.Draw(t, "other pace"), shy: share.Draw(t, "shy"), lnWeak: 4 * share.Draw(t, "other length")}
		m.limit(&i, limits{})
		m.size(&j)
		before := shortage(&i, &j)
		if before < 0 || before > 1 {
			t.Fatalf("shortage %v", before)
		}
		i.pace += share.Draw(t, "faster")
		i.lnStrong += share.Draw(t, "larger")
		j.shy += share.Draw(t, "shyer")
		j.pace *= share.Draw(t, "slower")
		m.limit(&i, limits{})
		if after := shortage(&i, &j); after < before-1e-12 {
			t.Fatalf("shortage fell from %v to %v", before, after)
		}
	})
}

// A shoal short of company never bears a pressure better than a full one.
func TestAShoalSpreadsAPressure(t *testing.T) {
	m, fish := testModel(t), &species.Species{ID: "shoal", ScientificName: "Genus shoal", Social: species.Group}
	fish.Traits[species.GroupMin] = species.Value{Band: species.Band{Low: 6, Typical: 8, High: 10}, Basis: species.Memory}
	last := 0.0
	for _, count := range []int{8, 6, 4, 2, 1} {
		p := m.Profile(fish, Individual{Count: count})
		if got := m.bearsAlone(&p.fish); got < last || got > 1 {
			t.Errorf("%d fish bear %v each, more fish %v", count, got, last)
		} else {
			last = got
		}
	}
	if full := m.bearsAlone(&m.Profile(fish, Individual{}).fish); math.Abs(full-m.w.ShoalBears) > tiny {
		t.Errorf("a full shoal bears %v", full)
	}
}
