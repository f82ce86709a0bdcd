package waterchem

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// relation is any function of the package, flattened to numbers in and numbers out.
type relation func(x [5]float64) ([]float64, error)

func plain(f func(x [5]float64) (float64, error)) relation {
	return func(x [5]float64) ([]float64, error) {
		y, err := f(x)
		return []float64{y}, err
	}
}

func banded(f func(x [5]float64) (Estimate, error)) relation {
	return func(x [5]float64) ([]float64, error) {
		e, err := f(x)
		if err == nil && !(e.Low <= e.Typical && e.Typical <= e.High) {
			return nil, errors.New("estimate out of order")
		}
		return []float64{e.Low, e.Typical, e.High}, err
	}
}

var relations = map[string]relation{
	"OxygenSaturation":   plain(func(x [5]float64) (float64, error) { return OxygenSaturation(x[0], x[1]) }),
	"OxygenSaturationAt": plain(func(x [5]float64) (float64, error) { return OxygenSaturationAt(x[0], x[1], x[2]) }),
	"PressureAtAltitude": plain(func(x [5]float64) (float64, error) { return PressureAtAltitude(x[0]) }),
	"AmmoniumPKa":        plain(func(x [5]float64) (float64, error) { return AmmoniumPKa(x[0]) }),
	"UnionizedFraction":  plain(func(x [5]float64) (float64, error) { return UnionizedFraction(x[0], x[1]) }),
	"UnionizedAmmonia":   plain(func(x [5]float64) (float64, error) { return UnionizedAmmonia(x[0], x[1], x[2]) }),
	"AmmoniumPKaSea":     plain(func(x [5]float64) (float64, error) { return AmmoniumPKaSea(x[0], x[1]) }),
	"UnionizedFractionSea": plain(func(x [5]float64) (float64, error) {
		return UnionizedFractionSea(x[0], x[1], x[2])
	}),
	"TANFromFeed": plain(func(x [5]float64) (float64, error) { return TANFromFeed(x[0], x[1]) }),
	"TANFromFeedBand": banded(func(x [5]float64) (Estimate, error) {
		return TANFromFeedBand(Estimate{x[0], x[1], x[2]}, x[3])
	}),
	"PerProtein": plain(func(x [5]float64) (float64, error) {
		return NitrogenBudget{x[0], x[1], x[2], x[3]}.PerProtein()
	}),
	"OxygenUsed": plain(func(x [5]float64) (float64, error) {
		return Nitrification{x[0], x[1]}.OxygenUsed(x[2])
	}),
	"AlkalinityUsed": plain(func(x [5]float64) (float64, error) {
		return Nitrification{x[0], x[1]}.AlkalinityUsed(x[2])
	}),
	"NitrificationOxygen": banded(func(x [5]float64) (Estimate, error) { return NitrificationOxygen(x[0]) }),
	"HardnessDegrees":     plain(func(x [5]float64) (float64, error) { return HardnessDegrees(x[0]) }),
	"NitrateFromNitrogen": plain(func(x [5]float64) (float64, error) { return NitrateFromNitrogen(x[0]) }),
	"NitrateRise":         plain(func(x [5]float64) (float64, error) { return NitrateRise(x[0], x[1], x[2]) }),
	"Peak":                plain(func(x [5]float64) (float64, error) { return WaterChanges{x[0], x[1], x[2]}.Peak() }),
	"Trough":              plain(func(x [5]float64) (float64, error) { return WaterChanges{x[0], x[1], x[2]}.Trough() }),
	"After": plain(func(x [5]float64) (float64, error) {
		return WaterChanges{x[0], x[1], x[2]}.After(x[3], int(math.Float64bits(x[4])))
	}),
	"ChangesToSettle": plain(func(x [5]float64) (float64, error) {
		n, err := ChangesToSettle(x[0])
		return float64(n), err
	}),
	"ShareForPeak":   plain(func(x [5]float64) (float64, error) { return ShareForPeak(x[0], x[1], x[2]) }),
	"WeightFromForm": banded(func(x [5]float64) (Estimate, error) { return WeightFromForm(Fusiform, x[0]) }),
	"Weight":         plain(func(x [5]float64) (float64, error) { return LengthWeight{x[0], x[1]}.Weight(x[2]) }),
	"Length":         plain(func(x [5]float64) (float64, error) { return LengthWeight{x[0], x[1]}.Length(x[2]) }),
	"Condition":      plain(func(x [5]float64) (float64, error) { return LengthWeight{x[0], x[1]}.Condition(x[2]) }),
	"FromMillimetres": plain(func(x [5]float64) (float64, error) {
		return LengthWeightFromMillimetres(x[0], x[1]).Weight(x[2])
	}),
	"FultonCondition":     plain(func(x [5]float64) (float64, error) { return FultonCondition(x[0], x[1]) }),
	"WeightFromCondition": plain(func(x [5]float64) (float64, error) { return WeightFromCondition(x[0], x[1]) }),
	"LengthAt":            plain(func(x [5]float64) (float64, error) { return Growth{x[0], x[1], x[2]}.LengthAt(x[3]) }),
	"AgeAt":               plain(func(x [5]float64) (float64, error) { return Growth{x[0], x[1], x[2]}.AgeAt(x[3]) }),
	"TimeBetween": plain(func(x [5]float64) (float64, error) {
		return Growth{x[0], x[1], x[2]}.TimeBetween(x[3], x[4])
	}),
	"LengthAfter": plain(func(x [5]float64) (float64, error) {
		return Growth{x[0], x[1], x[2]}.LengthAfter(x[3], x[4])
	}),
	"WeightAt": plain(func(x [5]float64) (float64, error) {
		return Growth{1, x[0], x[1]}.WeightAt(x[2], x[3], x[4])
	}),
	"LongevityA95":      plain(func(x [5]float64) (float64, error) { return Growth{x[0], x[1], x[2]}.LongevityA95() }),
	"RestingRate":       plain(func(x [5]float64) (float64, error) { return RestingRate(x[0], x[1]) }),
	"RestingRatePooled": plain(func(x [5]float64) (float64, error) { return RestingRatePooled(x[0]) }),
	"WarmingFactor":     plain(func(x [5]float64) (float64, error) { return WarmingFactor(x[0], x[1], x[2]) }),
	"OxygenDemand": banded(func(x [5]float64) (Estimate, error) {
		return OxygenDemand(x[0], []Stock{{Count: int(math.Float64bits(x[1])), Mass: Estimate{x[2], x[3], x[4]}}})
	}),
	"FeedRation": banded(func(x [5]float64) (Estimate, error) { return FeedRation(x[0], x[1]) }),
	"StockRation": banded(func(x [5]float64) (Estimate, error) {
		return StockRation(x[0], []Stock{{Count: 3, Mass: Estimate{x[1], x[2], x[3]}}})
	}),
	"WaterDensity":   plain(func(x [5]float64) (float64, error) { return WaterDensity(x[0], x[1]) }),
	"SeaWaterRatio":  plain(func(x [5]float64) (float64, error) { return SeaWaterRatio(x[0], x[1]) }),
	"Litres":         plain(func(x [5]float64) (float64, error) { return Box{x[0], x[1], x[2]}.Litres() }),
	"GlassArea":      plain(func(x [5]float64) (float64, error) { return Box{x[0], x[1], x[2]}.GlassArea() }),
	"GlassMass":      plain(func(x [5]float64) (float64, error) { return Box{x[0], x[1], x[2]}.GlassMass(x[3]) }),
	"GlassArealMass": plain(func(x [5]float64) (float64, error) { return GlassArealMass(x[0]) }),
	"WaterMass":      plain(func(x [5]float64) (float64, error) { return WaterMass(x[0], x[1], x[2]) }),
	"FloorLoad":      plain(func(x [5]float64) (float64, error) { return FloorLoad(x[0], x[1], x[2]) }),
	"PoundsPerSquareFoot": plain(func(x [5]float64) (float64, error) {
		return PoundsPerSquareFoot(x[0])
	}),
	"KilonewtonsPerM2": plain(func(x [5]float64) (float64, error) { return KilonewtonsPerM2(x[0]) }),
	"BottomPressure":   plain(func(x [5]float64) (float64, error) { return BottomPressure(x[0], x[1], x[2]) }),
}

// anyFloat draws numbers of every kind, with a leaning towards plausible ones.
var anyFloat = rapid.OneOf(
	rapid.Float64Range(0, 1), rapid.Float64Range(1, 50), rapid.Float64(),
	rapid.SampledFrom([]float64{
		math.NaN(), math.Inf(1), math.Inf(-1), 0, math.Copysign(0, -1), -1, 40, 1e6,
		math.MaxFloat64, math.SmallestNonzeroFloat64,
	}),
)

func TestAnyInputGivesAFiniteValueOrATypedError(t *testing.T) {
	for name, f := range relations {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				var x [5]float64
				for i := range x {
					x[i] = anyFloat.Draw(t, "x")
				}
				result, err := f(x)
				if err != nil && !typed(err) {
					t.Fatalf("%s%v: untyped error %v", name, x, err)
				}
				for _, y := range result {
					if math.IsNaN(y) || math.IsInf(y, 0) || (err != nil && y != 0) {
						t.Fatalf("%s%v = %v, %v", name, x, result, err)
					}
				}
			})
		})
	}
}

func typed(err error) bool {
	var domain *DomainError
	var never *NotReachedError
	return errors.As(err, &domain) || errors.As(err, &never)
}

func TestNaNIsRefusedByEveryRelation(t *testing.T) {
	nan := math.NaN()
	for name, f := range relations {
		_, err := f([5]float64{nan, nan, nan, nan, nan})
		var domain *DomainError
		if !errors.As(err, &domain) || domain.Min > domain.Max {
			t.Errorf("%s(NaN): %v, want a *DomainError with a range", name, err)
		}
	}
}
