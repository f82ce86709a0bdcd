package waterchem

import "math"

// SettledGap is the share of the way to the steady state that may be missing when
// the nitrate of a tank counts as settled.
const SettledGap = 0.05

// The ranges of the water-change relations.
const (
	minShare   = 1e-6
	maxRise    = 1e5
	maxNitrate = 1e5
	maxChanges = 1e6
)

// NitrateFromNitrogen converts nitrogen in mg/L N (0-1e6) to nitrate in mg/L NO₃⁻,
// 4.427 times as much.
//
// Source: molar masses (IUPAC).
func NitrateFromNitrogen(nitrogen float64) (float64, error) {
	if err := within(NitrateNitrogen, nitrogen, 0, maxNitrogen); err != nil {
		return 0, err
	}
	return nitrogen * molarNitrate / molarNitrogen, nil
}

// NitrateRise is the nitrate gained in mg/L NO₃⁻ when ammonia nitrogen of
// tan g N/d (0-1e6) is turned into nitrate for days (0-3650) in a water volume in
// L (0.1-1e7). It rises with tan and days and falls with volume.
//
// All ammonia is taken to end as nitrate in the water: plants, algae and
// denitrification, which take nitrate out, make the real rise smaller.
//
// Source: stoichiometry, see [NitrateFromNitrogen].
func NitrateRise(tan, days, litres float64) (float64, error) {
	err := firstError(
		within(Nitrogen, tan, 0, maxNitrogen),
		within(Days, days, 0, 3650),
		within(Volume, litres, minVolume, maxVolume),
	)
	if err != nil {
		return 0, err
	}
	return tan * 1000 * days / litres * molarNitrate / molarNitrogen, nil
}

// WaterChanges describes equal water changes at equal intervals.
type WaterChanges struct {
	Rise   float64 // nitrate gained between two changes, mg/L (0-1e5)
	Share  float64 // share of the water replaced each time (1e-6 to 1)
	Source float64 // nitrate of the new water, mg/L (0-1e5)
}

// Peak is the nitrate in mg/L just before a change once the tank has settled:
// Source + Rise/Share. It rises with Rise and Source and falls with Share.
//
// Source: own derivation, fixed point of y → (1−f)(y + P) + f·c.
func (w WaterChanges) Peak() (float64, error) {
	if err := w.check(); err != nil {
		return 0, err
	}
	return w.Source + w.Rise/w.Share, nil
}

// Trough is the nitrate in mg/L just after a change once the tank has settled:
// Source + Rise·(1−Share)/Share, one Rise below the peak.
//
// Source: own derivation, as in [WaterChanges.Peak].
func (w WaterChanges) Trough() (float64, error) {
	if err := w.check(); err != nil {
		return 0, err
	}
	return w.trough(), nil
}

func (w WaterChanges) trough() float64 { return w.Source + w.Rise*(1-w.Share)/w.Share }

// After is the nitrate in mg/L just after change n (0-1e6), from start mg/L (0-1e5)
// at n = 0. It moves from start towards the trough and never past it.
//
// Source: own derivation, yₙ = y* + (1−f)ⁿ·(y₀ − y*).
func (w WaterChanges) After(start float64, n int) (float64, error) {
	err := firstError(
		w.check(),
		within(Nitrate, start, 0, maxNitrate),
		within(Count, float64(n), 0, maxChanges),
	)
	if err != nil {
		return 0, err
	}
	settled := w.trough()
	return settled + math.Pow(1-w.Share, float64(n))*(start-settled), nil
}

func (w WaterChanges) check() error {
	return firstError(
		within(Rise, w.Rise, 0, maxRise),
		within(Share, w.Share, minShare, 1),
		within(Nitrate, w.Source, 0, maxNitrate),
	)
}
