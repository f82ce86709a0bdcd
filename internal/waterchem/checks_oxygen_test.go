package waterchem

import (
	"math"
	"testing"
)

var oxygenChecks = []check{
	{"2.1", "EN 25814", freshOxygen},
	{"2.2", "Benson & Krause", freshOxygen},
	{"2.3", "Benson & Krause", seaOxygen},
	{"2.4", "EN 25814", seaOxygen},
	{"2.5", "Garcia & Gordon 1992", func(t *testing.T, r row, _ map[string]row) {
		c, s := r.num(t, "t_C"), r.num(t, "S")
		r.near(t, garciaGordonPerKg.at(c, s), garciaGordonPerL.at(c, s))
		near(t, value[float64](t)(OxygenSaturation(c, s)),
			garciaGordonPerL.at(c, s)*mgPerMLReal, 0.02)
	}},
	{"2.6", "TEOS-10", func(t *testing.T, r row, _ map[string]row) {
		var got []float64
		in := r.nums(t, "SP_pt")
		for i := 0; i < len(in); i += 2 {
			// The fit wants the temperature scale of 1968.
			got = append(got, garciaGordonPerKg.at(in[i+1]*1.00024, in[i]))
		}
		r.near(t, got...)
	}},
	{"2.7", "Weiss 1970", func(t *testing.T, r row, _ map[string]row) {
		s := r.num(t, "S")
		for i, c := range r.nums(t, "t_C") {
			near(t, weiss(c, s), r.expected(t)[i], r.Tolerance)
			// The sources disagree by up to 0.06 mg/L in sea water.
			near(t, value[float64](t)(OxygenSaturation(c, s)), r.expected(t)[i], 0.06)
		}
	}},
	{"2.8", "Handbook table 760 mm Hg", freshOxygen},
}

func freshOxygen(t *testing.T, r row, _ map[string]row) {
	r.near(t, each(r.nums(t, "t_C"), func(c float64) float64 {
		return value[float64](t)(OxygenSaturation(c, 0))
	})...)
}

func seaOxygen(t *testing.T, r row, _ map[string]row) {
	s := r.num(t, "S")
	r.near(t, each(r.nums(t, "t_C"), func(c float64) float64 {
		return value[float64](t)(OxygenSaturation(c, s))
	})...)
}

// near is for a comparison that is not the row's own.
func near(t *testing.T, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("got %.8g, want %.8g ± %g", got, want, tolerance)
	}
}
