package stocking_test

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
)

// nippers nip hard enough to matter only when their shoal is short; their males bully.
func nippers(sp *species.Species) {
	group(6, 6)(sp)
	sp.Traits[species.FinNipping] = testfish.Exactly(1)
	sp.MaleTraits[species.AggressionOthers] = testfish.Exactly(1)
	sp.MaleTraits[species.Length] = testfish.Exactly(20)
	sp.FemaleTraits[species.Length] = testfish.Exactly(5)
}

func TestLeavingOutPartOfAShoalIsJudgedAgain(t *testing.T) {
	b := testfish.WorldOf(t, testfish.Altered("Nipper", nippers), testfish.Altered("Veil", testfish.Trait(species.LongFins, 0.35)))
	veil := stocking.Line{Index: 1, Count: 1, Keep: true}
	t.Run("females alone would nip more, so the whole shoal goes", func(t *testing.T) {
		c := stockingtest.MustJudge(t, b, stocking.Stock{Lines: append(sexed(3, 3), veil), Wanted: stocking.DefaultWanted})
		l := c.LeaveOut
		if len(l.Sets) != 1 || len(l.Sets[0].Lines) != 2 || l.Cost != 2 || l.Optimal || l.Complete {
			t.Errorf("got %+v", l)
		}
	})
	t.Run("females enough of their own may stay", func(t *testing.T) {
		c := stockingtest.MustJudge(t, b, stocking.Stock{Lines: append(sexed(3, 6), veil), Wanted: stocking.DefaultWanted})
		l := c.LeaveOut
		if len(l.Sets) != 1 || len(l.Sets[0].Lines) != 1 || c.Lines[l.Sets[0].Lines[0].Line].Sex != species.Male || !l.Optimal {
			t.Errorf("got %+v", l)
		}
	})
}

func TestWaterThatIsApartIsAReasonOfItsOwn(t *testing.T) {
	// Ranges a hair apart, where even a high pairing is wanted.
	fresh := testfish.Altered("Fresh", func(sp *species.Species) {
		sp.Water[species.Salinity] = species.WaterRange{Tolerated: species.Range{Low: 0, High: 1.9}, Preferred: species.Range{Low: 0, High: 1.9}, Basis: species.Memory}
	})
	salty := testfish.Altered("Salty", func(sp *species.Species) {
		sp.Water[species.Salinity] = species.WaterRange{Tolerated: species.Range{Low: 2, High: 10}, Preferred: species.Range{Low: 2, High: 10}, Basis: species.Memory}
	})
	b := testfish.WorldOf(t, fresh, salty)
	lines := func(keep bool) []stocking.Line {
		return []stocking.Line{{Index: 0, Count: 1, Keep: keep}, {Index: 1, Count: 1, Keep: keep}}
	}
	c := stockingtest.MustJudge(t, b, stocking.Stock{Lines: lines(false), Wanted: conflict.High})
	if c.Pairings[0].Score.Level > c.Wanted || c.Decision != stocking.Hold || c.Shared.OK {
		t.Fatalf("score %v, decision %v", c.Pairings[0].Score.Value, c.Decision)
	}
	if l := c.LeaveOut; len(l.Sets) != 2 || l.Sets[0].Lines[0].Reason.Code != stocking.ReasonWaterApart ||
		stocking.English(false).Sentence(l.Sets[0].Lines[0].Reason) != "Fresh and Salty have no salinity in common." {
		t.Errorf("got %+v", l)
	}
	c = stockingtest.MustJudge(t, b, stocking.Stock{Lines: lines(true), Wanted: conflict.High})
	if l := c.LeaveOut; len(l.Sets) != 0 || len(l.Pinned) != 1 || l.Pinned[0].Reason.Code != stocking.ReasonWaterApart {
		t.Errorf("got %+v", l)
	}
}

func TestAnotherTankIsJudgedWithTheSameFish(t *testing.T) {
	b := testfish.Book(t)
	s := stockingtest.Dozen(t)
	j := stocking.NewAssessment(b, &s)
	small := *s.Tank
	small.LengthCM = 40
	s.Tank = &small
	if got, want := j.In(&small).Judge(), stockingtest.MustJudge(t, b, s).Decision; got != want {
		t.Errorf("decision %v, judged from the start %v", got, want)
	}
}

func TestDecisionsHaveWordsAndExitStatuses(t *testing.T) {
	for d, want := range []struct {
		word string
		exit int
	}{{"proceed", 0}, {"advise", 3}, {"hold", 4}} {
		if got := stocking.Decision(d); got.String() != want.word || got.ExitStatus() != want.exit {
			t.Errorf("%d: %s, %d", d, got, got.ExitStatus())
		}
	}
	for s, want := range []string{"note", "advice", "stop"} {
		if stocking.Severity(s).String() != want {
			t.Errorf("%d: %s", s, stocking.Severity(s))
		}
	}
}
