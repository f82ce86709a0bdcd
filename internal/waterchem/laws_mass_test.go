package waterchem

import (
	"testing"

	"pgregory.net/rapid"

	"commensal/internal/units"
)

func TestWaterIsHeaviestNearFourDegreesAndHeavierWithSalt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := value[float64](t)
		cold, warm := two(t, "temperature", 4, 40)
		rising(t, "temperature", v(WaterDensity(warm, 0)), v(WaterDensity(cold, 0)))
		rising(t, "ice side", v(WaterDensity(draw(t, "near freezing", 0, 4), 0)), v(WaterDensity(3.983035, 0)))
		fresh, salt := two(t, "salinity", 0, 40)
		rising(t, "salinity", v(WaterDensity(warm, fresh)), v(WaterDensity(warm, salt)))
	})
}

// CIPM and EOS-80 are independent measurements of the same water.
func TestTheTwoDensityFormulasAgreeOnPureWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := draw(t, "temperature", 0, 40)
		same(t, "density", freshDensity(c), eos80Fresh(c), 1e-5)
	})
}

func TestFloorLoadRisesWithMassAndFallsWithFootprint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := value[float64](t)
		light, heavy := two(t, "mass", 0, 5000)
		short, long := two(t, "length", 20, 300)
		rising(t, "mass", v(FloorLoad(light, short, 50)), v(FloorLoad(heavy, short, 50)))
		rising(t, "footprint", v(FloorLoad(heavy, long, 50)), v(FloorLoad(heavy, short, 50)))
	})
}

func TestFloorLoadUnitsGoBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := value[float64](t)
		load := draw(t, "load", 0, 100)
		same(t, "load", v(KilonewtonsPerM2(v(PoundsPerSquareFoot(load)))), load, 1e-12)
	})
}

// Water resting on the bottom of an upright box presses with its own weight.
func TestBottomPressureIsTheFloorLoadOfTheWaterAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := value[float64](t)
		b := Box{draw(t, "length", 20, 300), draw(t, "width", 20, 100), draw(t, "height", 20, 100)}
		c, s := draw(t, "temperature", 0, 40), draw(t, "salinity", 0, 40)
		water := v(WaterMass(v(b.Litres()), c, s))
		same(t, "pressure", v(FloorLoad(water, b.Length, b.Width)), v(BottomPressure(b.Height, c, s)), 1e-9)
	})
}

func TestGlassGetsHeavierWithEveryEdgeAndWithThickness(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := value[float64](t)
		b := Box{draw(t, "length", 20, 300), draw(t, "width", 20, 100), draw(t, "height", 20, 100)}
		thin, thick := two(t, "thickness", 1, 50)
		mass := v(b.GlassMass(thin))
		rising(t, "thickness", mass, v(b.GlassMass(thick)))
		more := draw(t, "more", 0, 50)
		rising(t, "length", mass, v(Box{b.Length + more, b.Width, b.Height}.GlassMass(thin)))
		rising(t, "width", mass, v(Box{b.Length, b.Width + more, b.Height}.GlassMass(thin)))
		rising(t, "height", mass, v(Box{b.Length, b.Width, b.Height + more}.GlassMass(thin)))
	})
}

// Package units converts salinity with the same equation of state; this package
// keeps to the standard library and so has its own. They must never part.
func TestSeaWaterIsTheSameAsInPackageUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := draw(t, "temperature", 0, 40), draw(t, "salinity", 0, 40)
		same(t, "ratio", value[float64](t)(SeaWaterRatio(c, s)),
			units.SeawaterDensity(s, c)/units.SeawaterDensity(0, c), 1e-12)
	})
}
