package evidence

import (
	"math"
	"strings"
	"testing"

	"commensal/internal/conflict"

	"gonum.org/v1/gonum/mathext"
	"pgregory.net/rapid"
)

func drawShare(t *rapid.T) (s Share) {
	for o := range s.Counts {
		s.Counts[o] = rapid.IntRange(0, 20).Draw(t, "count")
	}
	s.FineMonths = FullMonths * float64(s.Counts[Fine]) * rapid.Float64Range(0, 1).Draw(t, "months")
	return s
}

func drawTally(t *rapid.T) (tally Tally) {
	for range rapid.IntRange(0, 12).Draw(t, "organizations") {
		tally.Add(drawShare(t))
	}
	return tally
}

func drawRisk(t *rapid.T) float64 { return rapid.Float64Range(0, 1).Draw(t, "risk") }

// lucky is a share of n full years without trouble.
func lucky(n int) Share {
	return Share{Counts: [NumOutcomes]int{n}, FineMonths: FullMonths * float64(n)}
}

func TestTheIntervalHoldsTheMeanAndLiesWithinItsBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tally := drawTally(t)
		risk := drawRisk(t)
		for _, b := range []Belief{(&Tally{}).Posterior(risk), tally.Posterior(risk)} {
			if !(0 <= b.Low && b.Low < b.Mean && b.Mean < b.High && b.High <= 1) {
				t.Fatalf("%+v", b)
			}
		}
		if b, ok := tally.Observed(); ok && !(0 <= b.Low && b.Low <= b.Mean+1e-12 && b.Mean <= b.High+1e-12 && b.High <= 1) {
			t.Fatalf("observed %+v", b)
		}
	})
}

// The quantile is held against the function that it is the inverse of.
func TestTheIntervalCutsOffTheSameAtEitherEnd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tally, risk := drawTally(t), min(max(drawRisk(t), surest), 1-surest)
		b := tally.Posterior(risk)
		a, c := PriorWeight*risk+tally.Trouble, PriorWeight*(1-risk)+tally.Good
		below, above := mathext.RegIncBeta(a, c, b.Low), 1-mathext.RegIncBeta(a, c, b.High)
		nearOne := b.High > 1-1e-9 // where a float64 has no finer steps left
		if math.Abs(below-0.025) > 1e-6 || math.Abs(above-0.025) > 1e-6 && !nearOne {
			t.Fatalf("Beta(%v, %v): %v below %v, %v above %v", a, c, below, b.Low, above, b.High)
		}
	})
}

func TestMoreTroubleNeverLowersTheRiskAndMoreGoodNewsNeverRaisesIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		others, own, risk := drawTally(t), drawShare(t), drawRisk(t)
		worse, better := own, own
		worse.Counts[rapid.IntRange(int(Harassed), int(Killed)).Draw(t, "outcome")] += rapid.IntRange(1, 30).Draw(t, "more")
		better.Counts[Fine]++
		better.FineMonths += rapid.Float64Range(0, FullMonths).Draw(t, "months")
		mean := func(s Share) float64 {
			tally := others
			tally.Add(s)
			return tally.Posterior(risk).Mean
		}
		if mean(worse) < mean(own)-1e-12 || mean(better) > mean(own)+1e-12 {
			t.Fatalf("as it is %v, more trouble %v, more good news %v", mean(own), mean(worse), mean(better))
		}
	})
}

func TestTheOrderOfSharesDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shares := rapid.SliceOfN(rapid.Custom(drawShare), 1, 10).Draw(t, "shares")
		var one, other Tally
		for _, s := range shares {
			one.Add(s)
		}
		for _, s := range rapid.Permutation(shares).Draw(t, "another order") {
			other.Add(s)
		}
		if one.Counts != other.Counts || one.Organizations != other.Organizations ||
			math.Abs(one.Good-other.Good)+math.Abs(one.Trouble-other.Trouble) > 1e-9 {
			t.Fatalf("%+v, %+v", one, other)
		}
	})
}

// Luck is cheap: a pair that should not be kept does not become one that is routinely
// kept by what four organizations have seen, however much each of them reports.
func TestAHandfulOfLuckyReportsNeverTurnsSevereIntoLow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		risk := rapid.Float64Range(conflict.SevereFrom/100, 1).Draw(t, "risk")
		var tally Tally
		for range rapid.IntRange(0, 4).Draw(t, "organizations") {
			tally.Add(lucky(rapid.IntRange(1, 1000).Draw(t, "reports")))
		}
		if level := conflict.LevelOf(100 * tally.Posterior(risk).Mean); level == conflict.Low {
			t.Fatalf("%v becomes %v", risk, level)
		}
		if level := conflict.LevelOf(100 * tally.Posterior(risk).Mean); tally.Organizations == 1 && level < conflict.High {
			t.Fatalf("one organization alone: %v becomes %v", risk, level)
		}
	})
	var tally Tally
	for range 6 {
		tally.Add(lucky(10))
	}
	if mean := tally.Posterior(0.75).Mean; mean >= 0.25 {
		t.Errorf("what many have seen for years counts for nothing: %v", mean)
	}
}

func TestNoOrganizationWeighsMoreThanItsShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShare(t)
		for o := range s.Counts {
			s.Counts[o] *= 1000
		}
		var tally Tally
		tally.Add(s)
		if tally.Weight() > MaxShare+1e-9 || tally.Reports() != s.Counts[0]+s.Counts[1]+s.Counts[2]+s.Counts[3] {
			t.Fatalf("%+v", tally)
		}
	})
}

func TestWhatWasSeenForAWeekWeighsLittle(t *testing.T) {
	var tally Tally
	tally.Add(Share{Counts: [NumOutcomes]int{4}, FineMonths: 1})
	if tally.Good != 1/FullMonths || tally.Trouble != 0 {
		t.Errorf("%+v", tally)
	}
}

func TestOrganizationsAreToldInSteps(t *testing.T) {
	for n, want := range map[int]int{0: 0, 1: 0, 2: 0, 3: 3, 4: 3, 5: 5, 9: 5, 10: 10, 19: 10, 20: 20, 49: 20, 50: 50, 99: 50, 100: 100, 250: 200, 1999: 1000} {
		if got := (&Tally{Organizations: n}).AtLeast(); got != want {
			t.Errorf("%d are told as %d, want %d", n, got, want)
		}
	}
}

func TestASnapshotKnowsAPairInEitherOrder(t *testing.T) {
	s := NewTallies(map[Pair]Tally{PairOf("b", "a"): {Organizations: 1}})
	if s.Of(PairOf("a", "b")).Organizations != 1 || s.Of(PairOf("b", "a")).Organizations != 1 || s.Of(PairOf("a", "a")) != (Tally{}) {
		t.Error("a pair is not found")
	}
	var none *Tallies
	if none.Of(PairOf("a", "b")) != (Tally{}) || none.Len() != 0 || none.Equal(s) || !none.Equal(nil) || !s.Equal(s) || s.Equal(NewTallies(nil)) {
		t.Error("no snapshot is taken for one")
	}
}

func TestOutcomesReadBack(t *testing.T) {
	for o := Fine; o <= Killed; o++ {
		if got, ok := ParseOutcome(o.String()); !ok || got != o {
			t.Errorf("%v does not read back", o)
		}
	}
	if _, ok := ParseOutcome("Fine"); ok {
		t.Error("outcomes are lower case")
	}
}

func TestSummariesAreComplete(t *testing.T) {
	one := Tally{Counts: [NumOutcomes]int{0, 0, 0, 1}, Organizations: 1, Trouble: 1}
	for want, got := range map[string]string{
		"Nobody has reported how such a keeping went: the model stands alone.":                                                       (&Tally{}).Summary(0.9, Belief{}),
		"1 report from keepers: 0 without trouble, 1 with. Together with the model's 40 of 100 that makes 45, most likely 20 to 71.": one.Summary(0.4, one.Posterior(0.4)),
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		tally := drawTally(t)
		risk := drawRisk(t)
		if s := tally.Summary(risk, tally.Posterior(risk)); s == "" || strings.ContainsAny(s, "{}") {
			t.Fatalf("incomplete: %q", s)
		}
	})
}
