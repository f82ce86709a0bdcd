package waterchem

import "testing"

var nitrogenChecks = []check{
	{"4.1", "Timmons & Ebeling", func(t *testing.T, r row, _ map[string]row) {
		protein := r.nums(t, "protein")
		var got []float64
		for i, feed := range r.nums(t, "feed_g_d") {
			got = append(got, value[float64](t)(TANFromFeed(feed, protein[i])))
		}
		r.near(t, got...)
	}},
	{"4.2", "Timmons & Ebeling", func(t *testing.T, r row, _ map[string]row) {
		budget := NitrogenBudget{
			r.num(t, "N_in_protein"), r.num(t, "assimilated"),
			r.num(t, "excreted"), r.num(t, "as_TAN"),
		}
		if budget != DesignBudget() {
			t.Errorf("the row's budget %v is not the design budget %v", budget, DesignBudget())
		}
		r.near(t, value[float64](t)(budget.PerProtein()))
	}},
	{"4.3", "FAO Fish. Aquac. Tech. Paper 589", fedAmmonia},
	{"4.4", "Stoichiometry of complete nitrification", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, value[float64](t)(CompleteNitrification().AlkalinityUsed(r.num(t, "N_g"))))
	}},
	{"4.5", "Ebeling, Timmons & Bisogni 2006", func(t *testing.T, r row, _ map[string]row) {
		n := Nitrification{r.num(t, "HCO3_per_N"), r.num(t, "O2_per_N")}
		if n != NitrificationWithGrowth() {
			t.Errorf("the row's coefficients %v are not ours %v", n, NitrificationWithGrowth())
		}
		grams := r.num(t, "N_g")
		r.near(t, value[float64](t)(n.AlkalinityUsed(grams)), value[float64](t)(n.OxygenUsed(grams)))
	}},
	{"4.6", "Stoichiometry of complete nitrification", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, value[float64](t)(CompleteNitrification().OxygenUsed(r.num(t, "N_g"))))
	}},
	{"4.7", "Gujer & Jenkins 1974", func(t *testing.T, r row, _ map[string]row) {
		e := value[Estimate](t)(NitrificationOxygen(r.num(t, "N_g")))
		r.near(t, e.Typical)
		near(t, e.Typical, r.num(t, "NH4_to_NO2")+r.num(t, "NO2_to_NO3"), 1e-12)
	}},
	{"4.8", "Stoichiometry of complete nitrification", func(t *testing.T, r row, _ map[string]row) {
		n := r.num(t, "N_mg_L")
		lost := value[float64](t)(CompleteNitrification().AlkalinityUsed(n))
		r.near(t, value[float64](t)(NitrateFromNitrogen(n)), lost,
			value[float64](t)(HardnessDegrees(lost)))
	}},
	{"4.9", "Own derivation", func(t *testing.T, r row, _ map[string]row) {
		w := WaterChanges{r.num(t, "P"), r.num(t, "f"), r.num(t, "c")}
		r.near(t, value[float64](t)(w.Trough()), value[float64](t)(w.Peak()))
	}},
	{"4.10", "Own derivation", func(t *testing.T, r row, _ map[string]row) {
		w := WaterChanges{r.num(t, "P"), r.num(t, "f"), r.num(t, "c")}
		r.near(t, each(r.nums(t, "n"), func(n float64) float64 {
			return value[float64](t)(w.After(r.num(t, "y0"), int(n)))
		})...)
	}},
	{"4.11", "Own derivation", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, each(r.nums(t, "f"), func(f float64) float64 {
			return float64(value[int](t)(ChangesToSettle(f)))
		})...)
	}},
	{"4.12", "Timmons & Ebeling", feedToNitrate},
}

// fedAmmonia follows the FAO example with its own rounded 1.2 g NH₃ for each g N.
func fedAmmonia(t *testing.T, r row, _ map[string]row) {
	budget := NitrogenBudget{
		InProtein: r.num(t, "N"), Assimilated: 1, Excreted: r.num(t, "excreted"), AsTAN: 1,
	}
	perProtein := value[float64](t)(budget.PerProtein())
	nitrogen := r.num(t, "feed_g") * r.num(t, "protein") * perProtein
	r.near(t, nitrogen, nitrogen*r.num(t, "NH3_per_N"))
	if !TANYield().Contains(perProtein) {
		t.Errorf("the FAO yield %g is outside our band %v", perProtein, TANYield())
	}
}

func feedToNitrate(t *testing.T, r row, _ map[string]row) {
	tan := value[float64](t)(TANFromFeed(r.num(t, "feed_g_d"), r.num(t, "protein")))
	rise := value[float64](t)(NitrateRise(tan, r.num(t, "interval_d"), r.num(t, "V_L")))
	w := WaterChanges{rise, r.num(t, "f"), r.num(t, "c")}
	peak := value[float64](t)(w.Peak())
	r.near(t, rise, peak, value[float64](t)(w.Trough()))
	near(t, value[float64](t)(ShareForPeak(rise, w.Source, peak)), w.Share, 1e-12)
}
