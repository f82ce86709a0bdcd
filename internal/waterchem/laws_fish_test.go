package waterchem

import (
	"testing"

	"pgregory.net/rapid"

	"commensal/internal/species"
)

var forms = []BodyForm{AnyForm, EelLike, Elongated, Fusiform, ShortDeep}

func TestWeightRisesWithLengthAndItsBandHoldsTheMean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		form := rapid.SampledFrom(forms).Draw(t, "form")
		short, long := two(t, "length", 0.1, 1000)
		small := value[Estimate](t)(WeightFromForm(form, short))
		large := value[Estimate](t)(WeightFromForm(form, long))
		rising(t, "low", small.Low, large.Low)
		rising(t, "typical", small.Typical, large.Typical)
		rising(t, "high", small.High, large.High)
		if !(small.Low < small.Typical && small.Typical < small.High) {
			t.Fatalf("%v is not a band", small)
		}
	})
}

func TestSlimmerFormsWeighLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := draw(t, "length", 1, 100)
		lighter := 0.0
		for _, form := range forms[1:] {
			w := value[Estimate](t)(WeightFromForm(form, length)).Typical
			rising(t, string(form), lighter, w)
			lighter = w
		}
	})
}

func TestTheCatalogueUsesOurWordsForBodyForms(t *testing.T) {
	for _, form := range []species.BodyForm{
		species.EelLike, species.Elongated, species.Fusiform, species.ShortDeep,
		species.ShrimpForm, species.CrayfishForm, species.CrabForm, species.SnailForm, species.ClamForm,
	} {
		if _, ok := BodyForm(form).Prior(); !ok {
			t.Errorf("no prior for the catalogue's body form %q", form)
		}
	}
}

func TestLengthWeightAndConditionGoBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := LengthWeight{A: draw(t, "a", 1e-3, 0.03), B: draw(t, "b", 2.5, 3.5)}
		length := draw(t, "length", 0.5, 200)
		v := value[float64](t)
		weight := v(w.Weight(length))
		same(t, "length", v(w.Length(weight)), length, 1e-9)
		k := v(FultonCondition(weight, length))
		same(t, "condition", v(w.Condition(length)), k, 1e-9)
		same(t, "weight", v(WeightFromCondition(k, length)), weight, 1e-9)
		if !w.Plausible() {
			t.Fatalf("an exponent of %g is flagged", w.B)
		}
	})
}

func TestMillimetresAndCentimetresWeighTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := draw(t, "b", 2.5, 3.5)
		mm := LengthWeight{A: draw(t, "a", 1e-7, 1e-3), B: b}
		length := draw(t, "length in mm", 5, 500)
		v := value[float64](t)
		same(t, "weight", v(mm.Weight(length)),
			v(LengthWeightFromMillimetres(mm.A, b).Weight(length/10)), 1e-9)
	})
}

func drawGrowth(t *rapid.T) Growth {
	return Growth{
		LInf: draw(t, "linf", 1, 300), K: draw(t, "k", 0.03, 8), T0: draw(t, "t0", -4, 0.5),
	}
}

func TestGrowthGoesBothWaysAndUpwards(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGrowth(t)
		v := value[float64](t)
		low, high := two(t, "share of linf", 0.01, 0.99)
		young, old := v(g.AgeAt(low*g.LInf)), v(g.AgeAt(high*g.LInf))
		rising(t, "age", young-g.T0, old-g.T0)
		same(t, "length", v(g.LengthAt(old)), high*g.LInf, 1e-7)
		same(t, "span", g.T0+v(g.TimeBetween(0, low*g.LInf))+v(g.TimeBetween(low*g.LInf, high*g.LInf)), old, 1e-7)
		rising(t, "weight", v(g.WeightAt(young, 100, 3)), v(g.WeightAt(old, 100, 3)))
	})
}

func TestGrowthFromNowAgreesWithTheCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGrowth(t)
		v := value[float64](t)
		now, span := g.T0+draw(t, "age", 0.01, 10), draw(t, "span", 0.01, 10)
		then := v(g.LengthAfter(v(g.LengthAt(now)), span))
		same(t, "length", then, v(g.LengthAt(now+span)), 1e-9)
		rising(t, "asymptote", then, g.LInf)
	})
}

func TestAFishBeyondTheAsymptoteKeepsItsLength(t *testing.T) {
	g := Growth{LInf: 30, K: 1}
	near(t, value[float64](t)(g.LengthAfter(34, 5)), 34, 0)
}

func TestNinetyFivePercentOfTheLengthIsReachedAtA95(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGrowth(t)
		v := value[float64](t)
		same(t, "length", v(g.LengthAt(v(g.LongevityA95()))), 0.95*g.LInf, 1e-4)
	})
}
