package waterchem

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func drawChanges(t *rapid.T) WaterChanges {
	return WaterChanges{
		Rise:   draw(t, "rise", 0.1, 200),
		Share:  draw(t, "share", 0.01, 1),
		Source: draw(t, "source", 0, 50),
	}
}

func TestNitrateFollowsAStepByStepSimulation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawChanges(t)
		start := draw(t, "start", 0.1, 300)
		v := value[float64](t)
		simulated := start
		for n := range 40 {
			same(t, "nitrate", v(w.After(start, n)), simulated, 1e-9)
			simulated = (1-w.Share)*(simulated+w.Rise) + w.Share*w.Source
		}
	})
}

func TestNitrateMovesTowardsTheTroughAndNeverPastIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawChanges(t)
		start := draw(t, "start", 0.1, 300)
		n := rapid.IntRange(0, 200).Draw(t, "n")
		v := value[float64](t)
		trough, now, next := v(w.Trough()), v(w.After(start, n)), v(w.After(start, n+1))
		rising(t, "distance", math.Abs(next-trough), math.Abs(now-trough)+1e-9)
		if (now-trough)*(start-trough) < -1e-6 {
			t.Fatalf("from %g past %g to %g", start, trough, now)
		}
		same(t, "peak less trough", v(w.Peak())-trough, w.Rise, 1e-6)
	})
}

func TestShareForPeakUndoesPeak(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawChanges(t)
		v := value[float64](t)
		// Rounding may put the peak a hair below what can be held.
		peak := v(w.Peak()) * (1 + 1e-12)
		same(t, "share", v(ShareForPeak(w.Rise, w.Source, peak)), w.Share, 1e-6)
	})
}

func TestShareForPeakFallsWithThePeakWantedAndIsAShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rise, source := draw(t, "rise", 0, 200), draw(t, "source", 0, 50)
		strict, lax := two(t, "peak above least", 0.001, 500)
		v := value[float64](t)
		more := v(ShareForPeak(rise, source, source+rise+strict))
		less := v(ShareForPeak(rise, source, source+rise+lax))
		rising(t, "share", less, more)
		if more < 0 || more > 1 {
			t.Fatalf("%g is not a share", more)
		}
	})
}

func TestAPeakOfExactlySourcePlusRiseTakesAWholeChange(t *testing.T) {
	near(t, value[float64](t)(ShareForPeak(30, 10, 40)), 1, 0)
}

func TestNoRiseNeedsNoChange(t *testing.T) {
	near(t, value[float64](t)(ShareForPeak(0, 10, 10)), 0, 0)
}

func TestChangesToSettleIsTheLeastNumberThatSettles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		share := draw(t, "share", 0.001, 1)
		n := value[int](t)(ChangesToSettle(share))
		left := func(n int) float64 { return math.Pow(1-share, float64(n)) }
		if n < 1 || left(n) > SettledGap*(1+1e-9) || (n > 1 && left(n-1) <= SettledGap*(1-1e-9)) {
			t.Fatalf("%d changes of %g leave %g, one less %g", n, share, left(n), left(n-1))
		}
	})
}

func TestAmmoniaRisesWithFeedAndProteinAndLiesInItsBand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		little, much := two(t, "feed", 0.001, 1000)
		poor, rich := two(t, "protein", 0, 1)
		v := value[float64](t)
		rising(t, "feed", v(TANFromFeed(little, rich)), v(TANFromFeed(much, rich)))
		rising(t, "protein", v(TANFromFeed(little, poor)), v(TANFromFeed(little, rich)))
		band := value[Estimate](t)(TANFromFeedBand(Estimate{little / 2, little, much}, rich))
		same(t, "typical", band.Typical, v(TANFromFeed(little, rich)), 1e-9)
	})
}

func TestNitrateRiseMovesWithWasteTimeAndVolume(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		clean, dirty := two(t, "tan", 0, 50)
		short, long := two(t, "days", 0, 60)
		small, large := two(t, "volume", 10, 2000)
		v := value[float64](t)
		rising(t, "tan", v(NitrateRise(clean, long, small)), v(NitrateRise(dirty, long, small)))
		rising(t, "days", v(NitrateRise(dirty, short, small)), v(NitrateRise(dirty, long, small)))
		rising(t, "volume", v(NitrateRise(dirty, long, large)), v(NitrateRise(dirty, long, small)))
	})
}
