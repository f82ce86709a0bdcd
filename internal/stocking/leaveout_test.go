package stocking_test

import (
	"math"
	"math/bits"
	"slices"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"

	"pgregory.net/rapid"
)

// lacking reports whether a list still holds what leaving out has to clear: a stop or a
// pairing above the wanted level.
func lacking(c *stocking.Check) bool {
	for _, f := range c.Findings {
		if f.Severity == stocking.Stop {
			return true
		}
	}
	for _, p := range c.Pairings {
		if p.Counts() > c.Wanted {
			return true
		}
	}
	return false
}

// residentsStay is the set of lines that live in the tank, where leaving out what joins is enough;
// else the empty set.
func residentsStay(t rapid.TB, b *conflict.Book, c *stocking.Check, s *stocking.Stock) (stay uint) {
	rest := stocking.Stock{Tank: s.Tank, Wanted: s.Wanted}
	mayGo := false
	for i, l := range c.Lines {
		if !l.Incoming {
			stay |= 1 << i
		}
		if l.Incoming && !l.Keep {
			mayGo = true
		} else {
			rest.Lines = append(rest.Lines, l)
		}
	}
	if !mayGo || stay == 0 {
		return 0
	}
	then, err := stocking.Judge(b, rest)
	if err != nil {
		t.Fatal(err)
	}
	if lacking(&then) {
		return 0
	}
	return stay
}

// cheapest tries every set of lines and judges what stays; the cost is infinite where
// lines that must stay clash among themselves.
func cheapest(t rapid.TB, b *conflict.Book, c *stocking.Check, s *stocking.Stock) (cost float64, sets [][]int) {
	cost = math.Inf(1)
	n, stay := len(c.Lines), residentsStay(t, b, c, s)
	for out := range uint(1) << n {
		if out&stay != 0 {
			continue
		}
		sum, rest, set := 0.0, stocking.Stock{Tank: s.Tank, Wanted: s.Wanted}, []int(nil)
		pinned := false
		for i, l := range c.Lines {
			if out&(1<<i) == 0 {
				rest.Lines = append(rest.Lines, l)
				continue
			}
			pinned = pinned || l.Keep
			sum += l.Weight
			set = append(set, i)
		}
		if pinned || sum > cost {
			continue
		}
		if bits.OnesCount(out) < n {
			then, err := stocking.Judge(b, rest)
			if err != nil {
				t.Fatal(err)
			}
			if lacking(&then) {
				continue
			}
		}
		if sum < cost {
			cost, sets = sum, nil
		}
		sets = append(sets, set)
	}
	return cost, sets
}

func setOf(s stocking.LeaveOutSet) (lines []int) {
	for _, l := range s.Lines {
		lines = append(lines, l.Line)
	}
	return lines
}

// TestLeaveOutIsTheBestOfAllSets compares with plain enumeration. Each species has one
// line, so that leaving a line out never splits a shoal.
func TestLeaveOutIsTheBestOfAllSets(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 7)
		seen := map[int]bool{}
		s.Lines = slices.DeleteFunc(s.Lines, func(l stocking.Line) bool {
			again := seen[l.Index]
			seen[l.Index] = true
			return again
		})
		for i := range s.Lines {
			s.Lines[i].Keep = rapid.IntRange(0, 5).Draw(t, "keep") == 0
			s.Lines[i].Weight = float64(rapid.IntRange(0, 3).Draw(t, "weight"))
		}
		c, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		cost, sets := cheapest(t, b, &c, &s)
		l := &c.LeaveOut
		switch {
		case math.IsInf(cost, 0):
			if len(l.Pinned) == 0 {
				t.Fatalf("nothing helps, yet no pinned conflict is named: %+v", l)
			}
			return
		case len(l.Pinned) > 0:
			t.Fatalf("a set of cost %v helps, yet pinned conflicts are named: %+v", cost, l.Pinned)
		case !l.Optimal || l.Cost != cost || l.Bound != cost:
			t.Fatalf("cost %v (bound %v, optimal %v), the best is %v with %v", l.Cost, l.Bound, l.Optimal, cost, sets)
		case cost == 0 && len(l.Sets) != 0:
			t.Fatalf("nothing need be left out, yet %+v", l.Sets)
		case cost > 0 && len(l.Sets) == 0:
			t.Fatalf("no set given of %v", sets)
		}
		for _, set := range l.Sets {
			if !slices.ContainsFunc(sets, func(x []int) bool { return slices.Equal(x, setOf(set)) }) {
				t.Fatalf("set %v is not among the best, %v", setOf(set), sets)
			}
		}
		if l.Complete && cost > 0 && len(l.Sets) != len(sets) {
			t.Fatalf("%d sets said to be all, of %d", len(l.Sets), len(sets))
		}
	})
}

// TestWhatStaysHoldsNoConflict judges what every set leaves, also where a species has
// several lines and losing one of them leaves a shoal short.
func TestWhatStaysHoldsNoConflict(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 8)
		for i := range s.Lines {
			s.Lines[i].Index = s.Lines[rapid.IntRange(0, i).Draw(t, "same")].Index
		}
		c, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		for _, set := range c.LeaveOut.Sets {
			rest := stocking.Stock{Tank: s.Tank, Wanted: s.Wanted}
			for i, l := range c.Lines {
				if !slices.Contains(setOf(set), i) {
					rest.Lines = append(rest.Lines, l)
				}
			}
			if len(rest.Lines) == 0 {
				continue
			}
			then, err := stocking.Judge(b, rest)
			if err != nil {
				t.Fatal(err)
			}
			if lacking(&then) {
				t.Fatalf("leaving out %v leaves a conflict: %s", setOf(set), wording.English(false).Summary(&then.Summary))
			}
		}
		if lacking(&c) && len(c.LeaveOut.Sets) == 0 {
			t.Fatalf("a list with conflicts has no leave-out set: %+v", c.LeaveOut)
		}
	})
}

// bully presses everything else far above any wanted level.
func bully(sp *species.Species) {
	sp.Traits[species.AggressionOthers] = testfish.Exactly(1)
	sp.Traits[species.Length] = testfish.Exactly(20)
}

func TestLeaveOutSaysWhy(t *testing.T) {
	b := testfish.WorldOf(t, testfish.Altered("Bully", bully), testfish.PlainFish("Fish a"), testfish.PlainFish("Fish b"),
		testfish.Altered("Giant", func(sp *species.Species) { sp.Traits[species.TankLength] = testfish.Exactly(300) }))
	t.Run("the one that clashes with all others goes", func(t *testing.T) {
		c := stockingtest.MustJudge(t, b, stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: 1}, {Index: 1, Count: 3}, {Index: 2, Count: 3}}, Wanted: stocking.DefaultWanted})
		if l := c.LeaveOut; len(l.Sets) != 1 || l.Sets[0].Lines[0].Line != 0 || l.Sets[0].Lines[0].With != 1 || !l.Optimal || !l.Complete {
			t.Errorf("got %+v", l)
		}
	})
	t.Run("a pin turns the answer round", func(t *testing.T) {
		c := stockingtest.MustJudge(t, b, stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: 1, Keep: true}, {Index: 1, Count: 3}, {Index: 2, Count: 3}}, Wanted: stocking.DefaultWanted})
		if l := c.LeaveOut; len(l.Sets) != 1 || len(l.Sets[0].Lines) != 2 || l.Cost != 2 {
			t.Errorf("got %+v", l)
		}
	})
	t.Run("so does a weight", func(t *testing.T) {
		c := stockingtest.MustJudge(t, b, stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: 1, Weight: 5}, {Index: 1, Count: 3}, {Index: 2, Count: 3}}, Wanted: stocking.DefaultWanted})
		if l := c.LeaveOut; len(l.Sets) != 1 || len(l.Sets[0].Lines) != 2 || l.Cost != 2 {
			t.Errorf("got %+v", l)
		}
	})
	t.Run("two equal ways are both listed", func(t *testing.T) {
		c := stockingtest.MustJudge(t, b, stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: 1}, {Index: 1, Count: 3}}, Wanted: stocking.DefaultWanted})
		if l := c.LeaveOut; len(l.Sets) != 2 || !l.Complete {
			t.Errorf("got %+v", l)
		}
	})
	t.Run("pins that clash are named as a pair", func(t *testing.T) {
		c := stockingtest.MustJudge(t, b, stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: 1, Keep: true}, {Index: 1, Count: 3, Keep: true}, {Index: 2, Count: 3}}, Wanted: stocking.DefaultWanted})
		if l := c.LeaveOut; len(l.Pinned) != 1 || l.Pinned[0].First != 0 || l.Pinned[0].Second != 1 || len(l.Sets) != 1 || l.Sets[0].Lines[0].Line != 2 {
			t.Errorf("got %+v", l)
		}
	})
	t.Run("what does not fit the tank goes by itself", func(t *testing.T) {
		c := stockingtest.MustJudge(t, b, stocking.Stock{Lines: []stocking.Line{{Index: 1, Count: 3}, {Index: 3, Count: 1}}, Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted})
		l := c.LeaveOut
		if len(l.Sets) != 1 || l.Sets[0].Lines[0].Line != 1 || l.Sets[0].Lines[0].With != -1 || l.Sets[0].Lines[0].Reason.Code != stocking.TankTooShort {
			t.Errorf("got %+v", l)
		}
	})
}

// TestWhatIsClaimedOfLeaveOutSetsIsTrue compares with plain enumeration where species have
// several lines, of which leaving one out changes the others.
func TestWhatIsClaimedOfLeaveOutSetsIsTrue(t *testing.T) {
	b := testfish.Book(t)
	proved := 0
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 7)
		for i := range s.Lines {
			s.Lines[i].Index = s.Lines[rapid.IntRange(0, i).Draw(t, "same")].Index
			s.Lines[i].Keep = rapid.IntRange(0, 7).Draw(t, "keep") == 0
			s.Lines[i].Weight = float64(rapid.IntRange(0, 3).Draw(t, "weight"))
		}
		c, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		claimsHold(t, b, &c, &s)
		if c.LeaveOut.Optimal && len(c.LeaveOut.Sets) > 0 {
			proved++
		}
	})
	if proved == 0 {
		t.Error("nothing was proved")
	}
}

// claimsHold compares what is claimed of the leave-out sets of a check with all sets there are.
func claimsHold(t rapid.TB, b *conflict.Book, c *stocking.Check, s *stocking.Stock) {
	cost, sets := cheapest(t, b, c, s)
	l := &c.LeaveOut
	if len(l.Pinned) > 0 {
		return // no set clears those
	}
	if l.Bound > cost || l.Optimal && !math.IsInf(cost, 0) && (l.Cost != cost || l.Bound != cost) {
		t.Fatalf("cost %v, at least %v (optimal %v); the best is %v with %v", l.Cost, l.Bound, l.Optimal, cost, sets)
	}
	for _, set := range l.Sets {
		best := slices.ContainsFunc(sets, func(x []int) bool { return slices.Equal(x, setOf(set)) })
		if l.Optimal && !best {
			t.Fatalf("set %v is not among the best, %v", setOf(set), sets)
		}
	}
	if l.Complete && cost > 0 && len(l.Sets) != len(sets) {
		t.Fatalf("%d sets said to be all, of %d: %v", len(l.Sets), len(sets), sets)
	}
}

// Whoever asks what may join does not come to give fish away: what joins is left out, though it is two lines and
// costs more than the residents would.
func TestWhatJoinsIsLeftOutBeforeResidents(t *testing.T) {
	b := testfish.Book(t)
	s := stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, "neon tetra", 10), stockingtest.Some(t, "oscar", 1), stockingtest.Some(t, "jaguar cichlid", 1)},
		Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
	s.Lines[1].Incoming, s.Lines[2].Incoming = true, true
	c := stockingtest.MustJudge(t, b, s)
	if len(c.LeaveOut.Sets) == 0 {
		t.Fatalf("%v, and nothing is left out", c.Decision)
	}
	for _, set := range c.LeaveOut.Sets {
		for _, l := range set.Lines {
			if !c.Lines[l.Line].Incoming {
				t.Errorf("line %d lives there and is left out", l.Line)
			}
		}
	}
}
