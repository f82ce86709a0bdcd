package waterchem

import (
	"math"
	"testing"
)

const clarke1999 = "Clarke & Johnston 1999"

var metabolismChecks = []check{
	{"7.1", clarke1999, func(t *testing.T, r row, _ map[string]row) {
		r.near(t, each(r.nums(t, "M_g"), func(m float64) float64 {
			return value[float64](t)(RestingRatePooled(m)) / molarOxygen
		})...)
	}},
	{"7.2", clarke1999, func(t *testing.T, r row, _ map[string]row) {
		r.near(t, each(r.nums(t, "t_C"), func(c float64) float64 {
			return value[float64](t)(RestingRate(50, c)) / molarOxygen
		})...)
	}},
	{"7.3", clarke1999, func(t *testing.T, r row, _ map[string]row) {
		r.near(t, restingRatio(t, r))
	}},
	{"7.4", clarke1999, func(t *testing.T, r row, _ map[string]row) {
		span := r.nums(t, "t_C")
		q10 := math.Pow(restingRatio(t, r), 10/(span[1]-span[0]))
		r.near(t, q10)
		r.near(t, Q10Across)
	}},
	{"7.5", clarke1999, func(t *testing.T, r row, _ map[string]row) {
		m := r.num(t, "M_g")
		rate := value[float64](t)(RestingRate(m, r.num(t, "t_C")))
		r.near(t, rate, rate/m*1000)
	}},
	{"7.6", clarke1999, func(t *testing.T, r row, _ map[string]row) {
		b := r.nums(t, "b")
		r.near(t, each(b, func(b float64) float64 { return MassScale(2, 1, b) })...)
		near(t, MassExponent, b[0], 0)
	}},
	{"7.7", clarke1999, func(t *testing.T, r row, _ map[string]row) {
		r.near(t, each(r.nums(t, "M_g"), func(m float64) float64 {
			return value[float64](t)(RestingRate(m, r.num(t, "t_C")))
		})...)
	}},
	{"7.8", clarke1999, zebrafish},
	{"7.9", "Lucas & Priede 1992", zebrafish},
	{"7.10", "Lucas & Priede 1992", func(t *testing.T, r row, _ map[string]row) {
		a := ActivityFactor()
		r.near(t, a.Low, a.Typical)
		near(t, a.Low, r.num(t, "single")/r.num(t, "standard"), 1e-12)
		near(t, a.Typical, r.num(t, "grouped")/r.num(t, "standard"), 1e-12)
	}},
}

func restingRatio(t *testing.T, r row) float64 {
	t.Helper()
	span := r.nums(t, "t_C")
	rate := value[float64](t)
	return rate(RestingRate(50, span[1])) / rate(RestingRate(50, span[0]))
}

// zebrafish is the predicted rate in mg/kg/h; the measured one lies within a factor
// of two of it.
func zebrafish(t *testing.T, r row, _ map[string]row) {
	m := r.num(t, "M_g")
	predicted := value[float64](t)(RestingRate(m, r.num(t, "t_C"))) / m * 1000
	r.near(t, predicted)
	if !SpeciesScatter().Scale(predicted).Contains(r.expected(t)[0]) {
		t.Errorf("%g mg/kg/h is more than a factor of two from %g", r.expected(t)[0], predicted)
	}
}
