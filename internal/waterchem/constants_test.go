package waterchem

import "testing"

// Constants that no row of the check table reaches, recomputed or read again from
// the sources named with them.
func TestConstantsAreThoseOfTheirSources(t *testing.T) {
	cases := []struct {
		name      string
		got, want float64
		tolerance float64
	}{
		{"the median Q10 within species is 2.40 (Clarke & Johnston 1999)", Q10Within, 2.40, 0},
		{"oxygen is worth 13.56 J/mg (Elliott & Davison 1975)", OxycaloricJoules, 13.56, 0},
		{"13.56 J/mg is 3.24 cal/mg (Elliott & Davison 1975, from memory)",
			OxycaloricJoules / 4.184, 3.24, 0.005},
		{"active zebrafish use 3.36 times the standard rate (Lucas & Priede 1992)",
			ActivityFactor().High, 3.36, 0.001},
		{"a grown fish keeps no nitrogen (own derivation)", TANYield().High, grownYield(t), 1e-12},
		{"the typical yield is the design value (Timmons & Ebeling, from memory)",
			TANYield().Typical, TANPerProtein, 0},
		{"quiet feeding covers swimming alone (Lucas & Priede 1992)",
			FeedingLevel().Low, ActivityFactor().Low, 0},
		{"typical feeding covers swimming in company (Lucas & Priede 1992)",
			FeedingLevel().Typical, ActivityFactor().Typical, 0},
		{"generous feeding is twice typical (assumption)",
			FeedingLevel().High, 2 * FeedingLevel().Typical, 1e-12},
		{"dry food yields 12 to 16 kJ/g (assumption)", FeedEnergy().Low, 12000, 0},
		{"dry food yields 12 to 16 kJ/g at most (assumption)", FeedEnergy().High, 16000, 0},
		{"one lbf/ft2 is 47.88 N/m2 (definitions)", newtonsPerM2, 47.88, 0.005},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { near(t, c.got, c.want, c.tolerance) })
	}
}

// grownYield is the design budget with all nitrogen taken up given off again.
func grownYield(t *testing.T) float64 {
	budget := DesignBudget()
	budget.Excreted = 1
	return value[float64](t)(budget.PerProtein())
}

// Froese 2006 expects exponents between 2.5 and 3.5.
func TestExponentsOutsideTheExpectedRangeAreFlagged(t *testing.T) {
	for _, c := range []struct {
		b    float64
		want bool
	}{{2.49, false}, {2.5, true}, {3.03, true}, {3.5, true}, {3.51, false}} {
		if got := (LengthWeight{0.01, c.b}).Plausible(); got != c.want {
			t.Errorf("an exponent of %g: plausible is %v", c.b, got)
		}
	}
}

// The bands of demand and ration must hold what their parts alone would give.
func TestBandsReachAsFarAsTheirWidestPart(t *testing.T) {
	resting := value[float64](t)(RestingRate(5, 25))
	demand := value[Estimate](t)(OxygenDemand(25, []Stock{{Count: 1, Mass: Exact(5)}}))
	for _, v := range []float64{
		resting * SpeciesScatter().Low * ActivityFactor().Typical,
		resting * SpeciesScatter().High * ActivityFactor().Typical,
		resting * ActivityFactor().Low, resting * ActivityFactor().High,
	} {
		if !demand.Contains(v) {
			t.Errorf("%v mg/h does not reach %g", demand, v)
		}
	}
}
