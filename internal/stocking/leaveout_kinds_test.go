package stocking

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// nippers nip hard enough to matter only when their shoal is short; their males bully.
func nippers(sp *species.Species) {
	group(6, 6)(sp)
	sp.Traits[species.FinNipping] = exactly(1)
	sp.MaleTraits[species.AggressionOthers] = exactly(1)
	sp.MaleTraits[species.Length] = exactly(20)
	sp.FemaleTraits[species.Length] = exactly(5)
}

func TestLeavingOutPartOfAShoalIsJudgedAgain(t *testing.T) {
	b := worldOf(t, altered("Nipper", nippers), altered("Veil", trait(species.LongFins, 0.35)))
	veil := Line{Index: 1, Count: 1, Keep: true}
	t.Run("females alone would nip more, so the whole shoal goes", func(t *testing.T) {
		c := mustJudge(t, b, Stock{Lines: append(sexed(3, 3), veil), Wanted: DefaultWanted})
		l := c.LeaveOut
		if len(l.Sets) != 1 || len(l.Sets[0].Lines) != 2 || l.Cost != 2 || l.Optimal || l.Complete {
			t.Errorf("got %+v", l)
		}
	})
	t.Run("females enough of their own may stay", func(t *testing.T) {
		c := mustJudge(t, b, Stock{Lines: append(sexed(3, 6), veil), Wanted: DefaultWanted})
		l := c.LeaveOut
		if len(l.Sets) != 1 || len(l.Sets[0].Lines) != 1 || c.Lines[l.Sets[0].Lines[0].Line].Sex != species.Male || !l.Optimal {
			t.Errorf("got %+v", l)
		}
	})
}

func TestWaterThatIsApartIsAReasonOfItsOwn(t *testing.T) {
	// Ranges a hair apart, where even a high pairing is wanted.
	fresh := altered("Fresh", func(sp *species.Species) {
		sp.Water[species.Salinity] = species.WaterRange{Tolerated: species.Range{Low: 0, High: 1.9}, Preferred: species.Range{Low: 0, High: 1.9}, Basis: species.Memory}
	})
	salty := altered("Salty", func(sp *species.Species) {
		sp.Water[species.Salinity] = species.WaterRange{Tolerated: species.Range{Low: 2, High: 10}, Preferred: species.Range{Low: 2, High: 10}, Basis: species.Memory}
	})
	b := worldOf(t, fresh, salty)
	lines := func(keep bool) []Line {
		return []Line{{Index: 0, Count: 1, Keep: keep}, {Index: 1, Count: 1, Keep: keep}}
	}
	c := mustJudge(t, b, Stock{Lines: lines(false), Wanted: conflict.High})
	if c.Pairings[0].Score.Level > c.Wanted || c.Decision != Hold || c.Shared.OK {
		t.Fatalf("score %v, decision %v", c.Pairings[0].Score.Value, c.Decision)
	}
	if l := c.LeaveOut; len(l.Sets) != 2 || l.Sets[0].Lines[0].Reason.Code != ReasonWaterApart ||
		English(false).Sentence(l.Sets[0].Lines[0].Reason) != "Fresh and Salty have no salinity in common." {
		t.Errorf("got %+v", l)
	}
	c = mustJudge(t, b, Stock{Lines: lines(true), Wanted: conflict.High})
	if l := c.LeaveOut; len(l.Sets) != 0 || len(l.Pinned) != 1 || l.Pinned[0].Reason.Code != ReasonWaterApart {
		t.Errorf("got %+v", l)
	}
}

func TestAnotherTankIsJudgedWithTheSameFish(t *testing.T) {
	b := book(t)
	s := dozen(t)
	j := prepare(b, &s)
	small := *s.Tank
	small.LengthCM = 40
	s.Tank = &small
	if got, want := j.in(&small).judge(), mustJudge(t, b, s).Decision; got != want {
		t.Errorf("decision %v, judged from the start %v", got, want)
	}
}

func TestDecisionsHaveWordsAndExitStatuses(t *testing.T) {
	for d, want := range []struct {
		word string
		exit int
	}{{"proceed", 0}, {"advise", 3}, {"hold", 4}} {
		if got := Decision(d); got.String() != want.word || got.ExitStatus() != want.exit {
			t.Errorf("%d: %s, %d", d, got, got.ExitStatus())
		}
	}
	for s, want := range []string{"note", "advice", "stop"} {
		if Severity(s).String() != want {
			t.Errorf("%d: %s", s, Severity(s))
		}
	}
}
