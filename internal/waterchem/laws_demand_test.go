package waterchem

import (
	"testing"

	"pgregory.net/rapid"
)

func TestRestingRateRisesWithMassAndHeatButLessThanInProportion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		light, heavy := two(t, "mass", 0.01, 1e5)
		cold, warm := two(t, "temperature", 0, 40)
		v := value[float64](t)
		rising(t, "mass", v(RestingRate(light, cold)), v(RestingRate(heavy, cold)))
		rising(t, "temperature", v(RestingRate(light, cold)), v(RestingRate(light, warm)))
		rising(t, "per gram", v(RestingRate(heavy, cold))/heavy, v(RestingRate(light, cold))/light)
	})
}

// The pooled line takes no account of temperature. For 50 g it equals the Arrhenius
// line near 6 °C and gives a third of it at 25 °C (from the two equations of Clarke
// & Johnston 1999).
func TestThePooledLineIsThatOfAColdFish(t *testing.T) {
	v := value[float64](t)
	pooled := v(RestingRatePooled(50))
	near(t, v(RestingRate(50, 6))/pooled, 1, 0.05)
	near(t, v(RestingRate(50, 25))/pooled, 3.2, 0.1)
}

func TestWarmingInStepsIsWarmingAtOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := draw(t, "q10", 1, 5)
		a, b, c := draw(t, "a", 0, 40), draw(t, "b", 0, 40), draw(t, "c", 0, 40)
		v := value[float64](t)
		same(t, "factor", v(WarmingFactor(q, a, b))*v(WarmingFactor(q, b, c)), v(WarmingFactor(q, a, c)), 1e-9)
		same(t, "ten degrees", v(WarmingFactor(q, 10, 20)), q, 1e-9)
	})
}

// Warming one fish costs it more than the difference between species at home.
func TestWarmingTheSameFishCostsMoreThanComparingSpecies(t *testing.T) {
	v := value[float64](t)
	across, within := v(WarmingFactor(Q10Across, 20, 30)), v(WarmingFactor(Q10Within, 20, 30))
	near(t, v(RestingRate(50, 30))/v(RestingRate(50, 20)), across, 0.08)
	if within <= across {
		t.Errorf("within %g is not above across %g", within, across)
	}
}

func drawStock(t *rapid.T) []Stock {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Stock {
		low, high := two(t, "mass", 0.05, 2000)
		return Stock{
			Count: rapid.IntRange(0, 50).Draw(t, "count"),
			Mass:  Estimate{low, (low + high) / 2, high},
		}
	}), 0, 6).Draw(t, "stock")
}

func TestDemandAddsUpOverTheStockAndRisesWithHeat(t *testing.T) {
	for name, f := range map[string]func(float64, []Stock) (Estimate, error){
		"oxygen": OxygenDemand, "feed": StockRation,
	} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				first, second := drawStock(t), drawStock(t)
				cold, warm := two(t, "temperature", 0, 40)
				v := value[Estimate](t)
				apart := v(f(cold, first)).Plus(v(f(cold, second)))
				whole := v(f(cold, append(append([]Stock{}, second...), first...)))
				same(t, "low", apart.Low, whole.Low, 1e-9)
				same(t, "typical", apart.Typical, whole.Typical, 1e-9)
				same(t, "high", apart.High, whole.High, 1e-9)
				hot := v(f(warm, first))
				rising(t, "low", v(f(cold, first)).Low, hot.Low)
				rising(t, "high", v(f(cold, first)).High, hot.High)
			})
		})
	}
}

func TestAnEmptyTankUsesNothing(t *testing.T) {
	if e := value[Estimate](t)(OxygenDemand(25, nil)); e != (Estimate{}) {
		t.Errorf("got %v", e)
	}
}

func TestOxygenDemandOfOneFishIsItsRoutineRate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		grams, c := draw(t, "mass", 0.1, 1000), draw(t, "temperature", 0, 40)
		demand := value[Estimate](t)(OxygenDemand(c, []Stock{{Count: 1, Mass: Exact(grams)}}))
		resting := value[float64](t)(RestingRate(grams, c))
		same(t, "typical", demand.Typical, resting*ActivityFactor().Typical, 1e-9)
		rising(t, "low", demand.Low, resting)
	})
}

// That small aquarium fish are given about 1-3 % of their mass in dry food a day, and
// large ones less, is common practice, no source.
func TestFeedRationsLookLikeWhatKeepersGive(t *testing.T) {
	cases := []struct {
		name                string
		grams, celsius      float64
		leastPart, mostPart float64
	}{
		{"a tetra of half a gram", 0.5, 25, 0.01, 0.03},
		{"a gourami of ten grams", 10, 26, 0.006, 0.02},
		{"an oscar of half a kilogram", 500, 26, 0.002, 0.01},
		{"a pond goldfish of 100 g in winter", 100, 5, 0.0005, 0.003},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			ration := value[Estimate](t)(FeedRation(c.grams, c.celsius))
			if part := ration.Typical / c.grams; part < c.leastPart || part > c.mostPart {
				t.Errorf("%.2f %% of body mass a day", 100*part)
			}
		})
	}
}

// At the typical level the energy eaten is the energy burnt by swimming in company.
func TestTheTypicalRationCoversTheRoutineRate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		grams, c := draw(t, "mass", 0.1, 1000), draw(t, "temperature", 0, 40)
		eaten := value[Estimate](t)(FeedRation(grams, c)).Typical * FeedEnergy().Typical
		burnt := value[float64](t)(RestingRate(grams, c)) * ActivityFactor().Typical * 24 * OxycaloricJoules
		same(t, "energy", eaten, burnt, 1e-9)
	})
}
