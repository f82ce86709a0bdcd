package waterchem

import "testing"

var growthChecks = []check{
	{"6.1", "FishBase manual", lengthsAt("Linf")},
	{"6.2", "FishBase manual", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, each(r.nums(t, "L"), func(l float64) float64 {
			return value[float64](t)(curve(t, r, "Linf").AgeAt(l))
		})...)
	}},
	{"6.3", "Lente et al.", lengthsAt("Linf_mm")},
	{"6.4", "Lente et al.", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, value[float64](t)(curve(t, r, "Linf_mm").AgeAt(r.num(t, "L_mm"))))
	}},
	{"6.5", "Lente et al.", lengthsAt("Linf_mm")},
	{"6.6", "Carassius gibelio", lengthsAt("Linf_cm")},
	{"6.7", "Lake Egirdir goldfish", func(t *testing.T, r row, _ map[string]row) {
		g := curve(t, r, "Linf_cm")
		a95 := value[float64](t)(g.LongevityA95())
		r.near(t, value[float64](t)(g.LengthAt(r.num(t, "t"))), a95)
		// The flag that the curve was fitted to young fish only.
		if a95 < 50 {
			t.Errorf("an extrapolated goldfish lives only %g years", a95)
		}
	}},
	{"6.8", "Pseudoplatystoma reticulatum", func(t *testing.T, r row, _ map[string]row) {
		g := Growth{LInf: 84.5, K: r.num(t, "K"), T0: r.num(t, "t0")}
		r.near(t, value[float64](t)(g.WeightAt(r.num(t, "t"), r.num(t, "Winf_g"), r.num(t, "b"))))
	}},
	{"6.9", "Taylor 1958", func(t *testing.T, r row, _ map[string]row) {
		r.near(t, each(r.nums(t, "K"), func(k float64) float64 {
			return value[float64](t)(Growth{1, k, r.num(t, "t0")}.LongevityA95())
		})...)
	}},
	{"6.10", "Cichla temensis", longevity},
	{"6.11", "Atherinella brasiliensis", longevity},
	{"6.12", "Taylor 1958", func(t *testing.T, r row, _ map[string]row) {
		for _, g := range []Growth{{1, 0.2, 0}, {1, 0.89, -0.3}, {1, 3, 0.1}} {
			age := value[float64](t)(g.LongevityA95())
			r.near(t, value[float64](t)(g.LengthAt(age)))
		}
	}},
}

func curve(t *testing.T, r row, linf string) Growth {
	t.Helper()
	return Growth{r.num(t, linf), r.num(t, "K"), r.num(t, "t0")}
}

func lengthsAt(linf string) func(*testing.T, row, map[string]row) {
	return func(t *testing.T, r row, _ map[string]row) {
		r.near(t, each(r.nums(t, "t"), func(years float64) float64 {
			return value[float64](t)(curve(t, r, linf).LengthAt(years))
		})...)
	}
}

func longevity(t *testing.T, r row, _ map[string]row) {
	r.near(t, value[float64](t)(Growth{1, r.num(t, "K"), 0}.LongevityA95()))
}
