package waterchem

import "math"

// ChangesToSettle is the number of changes of a share (1e-6 to 1) of the water
// after which at most [SettledGap] of the way to the steady state is missing. It
// falls as the share rises, and is at least 1.
//
// Source: own derivation, the least n with (1−f)ⁿ ≤ 0.05.
func ChangesToSettle(share float64) (int, error) {
	if err := within(Share, share, minShare, 1); err != nil {
		return 0, err
	}
	if share >= 1-SettledGap {
		return 1, nil
	}
	return int(math.Ceil(math.Log(SettledGap) / math.Log1p(-share))), nil
}

// ShareForPeak is the share (0-1) of the water to change each time so that nitrate
// settles at the wanted peak in mg/L (0-1e5), when it rises by rise mg/L between two
// changes (0-1e5; the rise of 7 days for weekly changes) and the new water carries
// source mg/L (0-1e5). It rises with rise and source and falls with peak. A rise of
// zero needs no change for nitrate's sake, as long as the source is below the peak.
//
// A peak below source + rise cannot be held by one change each interval, however
// large: the result is a *DomainError for [Nitrate] whose Min is the least peak
// that can. Change more often, feed less, or use purer water.
//
// Source: own derivation, the inverse of [WaterChanges.Peak], f = P/(b* − c).
func ShareForPeak(rise, source, peak float64) (float64, error) {
	err := firstError(
		within(Rise, rise, 0, maxRise),
		within(Nitrate, source, 0, maxNitrate),
		within(Nitrate, peak, 0, maxNitrate),
	)
	if err != nil {
		return 0, err
	}
	if least := source + rise; peak < least {
		return 0, &DomainError{Quantity: Nitrate, Value: peak, Min: least, Max: max(least, maxNitrate)}
	}
	if rise == 0 {
		return 0, nil
	}
	return min(1, rise/(peak-source)), nil
}
