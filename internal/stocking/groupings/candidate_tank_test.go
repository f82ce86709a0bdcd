package groupings

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"

	"pgregory.net/rapid"
)

// drawCrowd draws kinds of fish in great numbers and a tank with a footprint.
func drawCrowd(t *rapid.T, b *conflict.Book) (stocking.Stock, *stocking.Tank) {
	s := stocking.Stock{Lines: stockingtest.DrawKinds(t, b, 6), Wanted: rapid.SampledFrom([]conflict.Level{conflict.Moderate, conflict.High}).Draw(t, "wanted")}
	for i := range s.Lines {
		s.Lines[i].Count *= rapid.SampledFrom([]int{1, 1, 4, 15}).Draw(t, "times")
	}
	tank := &stocking.Tank{}
	tank.LengthCM = rapid.Float64Range(40, 400).Draw(t, "length")
	tank.WidthCM = rapid.Float64Range(25, 150).Draw(t, "width")
	tank.HeightCM = rapid.Float64Range(20, 100).Draw(t, "height")
	return s, tank
}

// TestAGroupHoldsExactlyWhenItsOwnCheckSaysSo compares what a search asks about a group
// with the check of the group as a list of its own.
func TestAGroupHoldsExactlyWhenItsOwnCheckSaysSo(t *testing.T) {
	real, generated := testfish.Book(t), testfish.GeneratedBook(t, 200)
	var yes, crowded, heavy, fights int
	rapid.Check(t, func(t *rapid.T) {
		b := testfish.DrawBook(t, real, generated)
		s, tank := drawCrowd(t, b)
		sp := newSplit(b, &s)
		a := sp.candidate(tank)
		var set graph.Set
		for u := range sp.units {
			if a.alone(u).Decision < stocking.Hold && rapid.IntRange(0, 4).Draw(t, "in") > 0 {
				set.Add(u)
			}
		}
		if set.Empty() {
			return
		}
		got := a.holds(set)
		for u := set.Next(0); u >= 0; u = set.Next(u + 1) {
			for v := set.Next(u + 1); v >= 0; v = set.Next(v + 1) {
				got = got && !a.apart(u, v)
			}
		}
		j := sp.actual(tank, sp.linesOf(set))
		j.Judge()
		if want := j.Decision < stocking.Hold && (set.Len() == 1 || !j.Crowded()); got != want {
			t.Fatalf("units %v hold %v, judged %v (%v, crowded %v)", set.Members(), got, want, j.Decision, j.Crowded())
		}
		switch {
		case got:
			yes++
		case j.Overloaded():
			heavy++
		case j.Decision < stocking.Hold:
			crowded++
		default:
			fights++
		}
	})
	if yes == 0 || fights == 0 { // crowding alone is rare: TestAPairingThatOnlyCrowdingMakesAConflict has it
		t.Errorf("the draws are one-sided: %d hold, %d are crowded, %d too heavy, %d fight", yes, crowded, heavy, fights)
	}
}

func TestAPairingThatOnlyCrowdingMakesAConflict(t *testing.T) {
	b := testfish.CrowdingWorld(t)
	tank := stockingtest.GoodTank()
	s := stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: 1}, {Index: 1, Count: 1}, {Index: 2, Count: 3}}, Wanted: conflict.Moderate}
	sp := newSplit(b, &s)
	a := sp.candidate(tank)
	if c := a.clash(0, 1); c != crowdable {
		t.Fatalf("bully and victim: %v, scores %v", c, stockingtest.Joined(b, stocking.Stock{Lines: s.Lines[:1], Tank: tank, Wanted: s.Wanted}, 1, 1).Pairs)
	}
	if a.clash(0, 2) != peaceful || !a.holds(graph.SetOf(0, 1)) || a.holds(graph.SetOf(0, 1, 2)) {
		t.Errorf("with the quiet one %v, two %v, three %v", a.clash(0, 2), a.holds(graph.SetOf(0, 1)), a.holds(graph.SetOf(0, 1, 2)))
	}
	g := mustGroup(t, b, s, *tank, *tank)
	if len(g.Groups) != 2 || len(g.Unplaced) != 0 || !g.Optimal {
		t.Errorf("%d groups, unplaced %v", len(g.Groups), g.Unplaced)
	}
}

func TestAListTooHeavyForOneTankIsSplit(t *testing.T) {
	heavy := func(name string) *species.Species {
		return testfish.Altered(name, func(sp *species.Species) { sp.Traits[species.Length] = testfish.Exactly(12) })
	}
	b := testfish.WorldOf(t, heavy("a"), heavy("b"))
	tank := stockingtest.GoodTank()
	tank.LengthCM, tank.WidthCM, tank.HeightCM = 200, 60, 20
	count := 1
	for ; count < 60; count++ { // the most that each kind can be alone
		if stockingtest.Joined(b, stocking.Stock{Tank: tank, Wanted: conflict.Moderate}, 0, count+1).Decision == stocking.Hold {
			break
		}
	}
	s := stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: count}, {Index: 1, Count: count}}, Wanted: conflict.Moderate}
	g := mustGroup(t, b, s, *tank, *tank)
	if len(g.Groups) != 2 || len(g.Unplaced) != 0 {
		t.Errorf("%d of each: %d groups, unplaced %v", count, len(g.Groups), g.Unplaced)
	}
	one := mustGroup(t, b, s, *tank)
	if len(one.Unplaced) != 1 || one.Unplaced[0].With != stocking.TheTank {
		t.Errorf("one tank: unplaced %+v", one.Unplaced)
	}
}

func TestALineOfAKindInSeveralLinesDefendsTheMostThatAnyCompanyMakesIt(t *testing.T) {
	pairs := testfish.Altered("a", func(sp *species.Species) {
		sp.Social, sp.Traits[species.GroupMin], sp.Traits[species.Territory] = species.Pair, testfish.Exactly(2), testfish.Exactly(30)
	})
	b := testfish.WorldOf(t, pairs)
	s := stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: 1, Sex: species.Male}, {Index: 0, Count: 2, Sex: species.Female}}}
	sp := newSplit(b, &s)
	for i := range sp.Lines {
		r := &sp.Lines[i]
		if least := sp.kindest.Lines[i].Ground; least >= r.Ground {
			t.Errorf("line %d has %v at most and %v at least", i, r.Ground, least)
		}
		for company := r.Fish; company <= 3; company++ {
			if g := b.For(0, conflict.Individual{Sex: r.Sex}).InNumbers(r.Fish, company).Ground(); g > r.Ground {
				t.Errorf("%d of %d defend %v, the line is given %v", r.Fish, company, g, r.Ground)
			}
		}
	}
}
