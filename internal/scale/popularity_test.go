package scale_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"commensal/internal/scale"

	"pgregory.net/rapid"
)

func pairs(t interface{ Fatal(...any) }, kinds int, s float64) *scale.Pairs {
	p, err := scale.NewPairs(kinds, s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// drawn is some popularity of some kinds.
func drawn(t *rapid.T) *scale.Pairs {
	return pairs(t, rapid.IntRange(1, 60).Draw(t, "kinds"), rapid.Float64Range(0, 2).Draw(t, "s"))
}

func TestALargerCacheHasMoreOfWhatIsAsked(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		small := rapid.IntRange(0, p.Count()).Draw(t, "small")
		large := rapid.IntRange(small, p.Count()).Draw(t, "large")
		if a, b := p.Best(small), p.Best(large); a > b+1e-12 || a < 0 || b > 1 {
			t.Errorf("%d answers have %v and %d have %v", small, a, large, b)
		}
		if small > 0 && small*p.Count() > 0 && p.Best(small) < float64(small)/float64(p.Count())-1e-9 {
			t.Errorf("the %d most asked of %d have only %v: less than any others would", small, p.Count(), p.Best(small))
		}
		if whole := p.Best(p.Count()); math.Abs(whole-1) > 1e-9 {
			t.Errorf("all answers have %v", whole)
		}
	})
}

// What is drawn agrees with what is computed, for a cache whose share is known exactly.
func TestASimulatedStaticCacheHasWhatIsComputedOfIt(t *testing.T) {
	t.Parallel()
	const asked = 20_000
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		answers := rapid.IntRange(0, p.Count()).Draw(t, "answers")
		seed := rapid.Uint64().Draw(t, "seed")
		got, want := p.Simulate(p.NewStatic(answers), rand.New(rand.NewPCG(seed, 1)), 0, asked), p.Best(answers)
		// Six standard deviations of a share of so many.
		if tolerance := 6*math.Sqrt(want*(1-want)/asked) + 1e-3; math.Abs(got-want) > tolerance {
			t.Errorf("%d answers of %d: simulated %v, computed %v ± %v", answers, p.Count(), got, want, tolerance)
		}
	})
}

// No cache that has to find out what is asked for most has more than the one that knows.
func TestACacheOfWhatWasAskedLatelyComesToNoMoreThanTheBest(t *testing.T) {
	t.Parallel()
	for _, s := range []float64{0, 0.6, 1, 1.4} {
		p := pairs(t, 120, s)
		before := -1.0
		for _, answers := range []int{1, 40, 400, 2000, p.Count()} {
			got := p.Simulate(scale.NewLately(answers), rand.New(rand.NewPCG(3, 5)), 60_000, 60_000)
			if best := p.Best(answers); got > best+0.01 {
				t.Errorf("s = %v, %d answers: %v, and the best is %v", s, answers, got, best)
			}
			if got < before-0.01 {
				t.Errorf("s = %v: %d answers have less than fewer: %v after %v", s, answers, got, before)
			}
			before = got
		}
		if before < 0.98 {
			t.Errorf("s = %v: a cache that holds all has %v after it is warm", s, before)
		}
	}
}

// With three kinds it can be done by hand: in proportion 1, 1/2, 1/3 of 11/6.
func TestTheSharesOfThreeKinds(t *testing.T) {
	t.Parallel()
	p := pairs(t, 3, 1)
	// The pairs by share, of 121: 1-1 36, 1-2 36, 1-3 24, 2-3 12, 2-2 9, 3-3 4.
	for answers, want := range []float64{0, 36, 72, 96, 108, 117, 121} {
		if got := p.Best(answers) * 121; math.Abs(got-want) > 1e-9 {
			t.Errorf("the %d most asked have %v of 121, want %v", answers, got, want)
		}
	}
	for kinds, s := range map[int]float64{0: 1, 5: -0.1, 6: 3.1, 7: math.NaN()} {
		if _, err := scale.NewPairs(kinds, s); err == nil {
			t.Errorf("%d kinds with s = %v are taken", kinds, s)
		}
	}
}
