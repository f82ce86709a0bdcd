package waterchem

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// draw is a number between two bounds; two is a pair in ascending order.
func draw(t *rapid.T, name string, low, high float64) float64 {
	return rapid.Float64Range(low, high).Draw(t, name)
}

func two(t *rapid.T, name string, low, high float64) (a, b float64) {
	a, b = draw(t, name, low, high), draw(t, name, low, high)
	return min(a, b), max(a, b)
}

// rising fails unless a ≤ b but for rounding.
func rising(t *rapid.T, what string, a, b float64) {
	t.Helper()
	if a > b+1e-9*math.Abs(b) {
		t.Fatalf("%s: %g is followed by %g", what, a, b)
	}
}

// same fails unless a and b agree to a relative tolerance.
func same(t *rapid.T, what string, a, b, relative float64) {
	t.Helper()
	if !(math.Abs(a-b) <= relative*max(math.Abs(a), math.Abs(b), 1e-12)) {
		t.Fatalf("%s: %.12g and %.12g differ", what, a, b)
	}
}

func TestOxygenFallsWithHeatAndSaltAndRisesWithPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := value[float64](t)
		cold, warm := two(t, "temperature", 0, 40)
		fresh, salt := two(t, "salinity", 0, 40)
		thin, thick := two(t, "pressure", 50, 111.5)
		rising(t, "temperature", v(OxygenSaturationAt(warm, salt, thin)), v(OxygenSaturationAt(cold, salt, thin)))
		rising(t, "salinity", v(OxygenSaturationAt(cold, salt, thin)), v(OxygenSaturationAt(cold, fresh, thin)))
		rising(t, "pressure", v(OxygenSaturationAt(cold, salt, thin)), v(OxygenSaturationAt(cold, salt, thick)))
		if c := v(OxygenSaturationAt(warm, salt, thin)); c <= 0 || c > 17 {
			t.Fatalf("%g mg/L is out of all bounds", c)
		}
	})
}

func TestOxygenAtStandardPressureIsTheSeaLevelValue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := draw(t, "temperature", 0, 40), draw(t, "salinity", 0, 40)
		v := value[float64](t)
		same(t, "saturation", v(OxygenSaturationAt(c, s, StandardPressure)), v(OxygenSaturation(c, s)), 1e-12)
	})
}

// Garcia & Gordon 1992 is an independent fit to the same measurements.
func TestOxygenAgreesWithGarciaAndGordon(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := draw(t, "temperature", 0, 40), draw(t, "salinity", 0, 40)
		same(t, "saturation", value[float64](t)(OxygenSaturation(c, s)),
			garciaGordonPerL.at(c, s)*mgPerMLReal, 0.005)
	})
}

// To a first approximation saturation goes with pressure; the vapour pressure takes
// away up to a few percent of what is left in warm, thin air.
func TestOxygenIsNearlyInProportionToPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, p := draw(t, "temperature", 0, 30), draw(t, "pressure", 70, 105)
		v := value[float64](t)
		proportional := v(OxygenSaturation(c, 0)) * p / StandardPressure
		same(t, "saturation", v(OxygenSaturationAt(c, 0, p)), proportional, 0.022)
	})
}

// The standard atmosphere's printed table (ISO 2533:1975; values from memory).
func TestPressureAtAltitudeFollowsTheStandardAtmosphere(t *testing.T) {
	for _, c := range []struct{ metres, kilopascal float64 }{
		{0, 101.325}, {500, 95.461}, {1000, 89.876}, {2000, 79.501}, {5000, 54.048},
	} {
		near(t, value[float64](t)(PressureAtAltitude(c.metres)), c.kilopascal, 0.03)
	}
}

func TestUnionizedAmmoniaRisesWithPHAndHeatAndStaysAShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := value[float64](t)
		acid, basic := two(t, "pH", 0, 14)
		cold, warm := two(t, "temperature", 0, 40)
		s := draw(t, "salinity", 0, 40)
		rising(t, "pH", v(UnionizedFraction(acid, cold)), v(UnionizedFraction(basic, cold)))
		rising(t, "temperature", v(UnionizedFraction(acid, cold)), v(UnionizedFraction(acid, warm)))
		rising(t, "pH at sea", v(UnionizedFractionSea(acid, cold, s)), v(UnionizedFractionSea(basic, cold, s)))
		rising(t, "temperature at sea", v(UnionizedFractionSea(acid, cold, s)), v(UnionizedFractionSea(acid, warm, s)))
		if f := v(UnionizedFraction(basic, warm)); f < 0 || f > 1 {
			t.Fatalf("%g is not a share", f)
		}
	})
}

func TestOnePHUnitIsTenfoldWhileTheFractionIsSmall(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ph, c := draw(t, "pH", 5, 6), draw(t, "temperature", 0, 35)
		v := value[float64](t)
		same(t, "fraction", v(UnionizedFraction(ph+1, c)), 10*v(UnionizedFraction(ph, c)), 0.012)
	})
}

// Two independent sources must agree where both apply.
func TestSeaAndFreshAmmoniaAgreeInFreshWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ph, c := draw(t, "pH", 5, 9.5), draw(t, "temperature", 5, 35)
		v := value[float64](t)
		same(t, "fraction", v(UnionizedFractionSea(ph, c, 0)), v(UnionizedFraction(ph, c)), 0.01)
	})
}

func TestThePressureFactorAgreesWithAnotherVapourPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, p := draw(t, "temperature", 0, 40), draw(t, "pressure", 50, 111.5)
		v := value[float64](t)
		same(t, "saturation", v(OxygenSaturationAt(c, 0, p)),
			v(OxygenSaturation(c, 0))*greenCarrittFactor(c, p/StandardPressure), 5e-4)
	})
}
