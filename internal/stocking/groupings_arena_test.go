package stocking

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking/graph"

	"pgregory.net/rapid"
)

// drawCrowd draws kinds of fish in great numbers and a tank with a footprint.
func drawCrowd(t *rapid.T, b *conflict.Book) (Stock, *Tank) {
	s := Stock{Lines: drawKinds(t, b, 6), Wanted: rapid.SampledFrom([]conflict.Level{conflict.Moderate, conflict.High}).Draw(t, "wanted")}
	for i := range s.Lines {
		s.Lines[i].Count *= rapid.SampledFrom([]int{1, 1, 4, 15}).Draw(t, "times")
	}
	tank := &Tank{}
	tank.LengthCM = rapid.Float64Range(40, 400).Draw(t, "length")
	tank.WidthCM = rapid.Float64Range(25, 150).Draw(t, "width")
	tank.HeightCM = rapid.Float64Range(20, 100).Draw(t, "height")
	return s, tank
}

// TestAGroupHoldsExactlyWhenItsOwnCheckSaysSo compares what a search asks about a group
// with the judging of the group as a list of its own.
func TestAGroupHoldsExactlyWhenItsOwnCheckSaysSo(t *testing.T) {
	real, generated := book(t), generatedBook(t, 200)
	var yes, crowded, heavy, fights int
	rapid.Check(t, func(t *rapid.T) {
		b := drawBook(t, real, generated)
		s, tank := drawCrowd(t, b)
		sp := newSplit(b, &s)
		a := sp.arenaIn(tank)
		var set graph.Set
		for u := range sp.units {
			if a.alone(u).decision < Hold && rapid.IntRange(0, 4).Draw(t, "in") > 0 {
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
		j.judge()
		if want := j.decision < Hold && (set.Len() == 1 || !crowdedIn(j)); got != want {
			t.Fatalf("units %v hold %v, judged %v (%v, crowded %v)", set.Members(), got, want, j.decision, crowdedIn(j))
		}
		switch {
		case got:
			yes++
		case overloaded(j):
			heavy++
		case j.decision < Hold:
			crowded++
		default:
			fights++
		}
	})
	if yes == 0 || fights == 0 { // crowding alone is rare: TestAPairingThatOnlyCrowdingMakesAConflict has it
		t.Errorf("the draws are one-sided: %d hold, %d are crowded, %d too heavy, %d fight", yes, crowded, heavy, fights)
	}
}

// big is a fish in armour that takes much ground and troubles nobody.
func big(name string, ground float64) *species.Species {
	return altered(name, func(sp *species.Species) {
		sp.Traits[species.Territory], sp.Traits[species.Armour] = exactly(ground), exactly(1)
	})
}

func TestAPairingThatOnlyCrowdingMakesAConflict(t *testing.T) {
	bully := altered("a bully", func(sp *species.Species) {
		sp.Traits[species.AggressionOthers], sp.Traits[species.Territory] = exactly(0.8), exactly(20)
	})
	b := worldOf(t, bully, plainFish("b victim"), big("c quiet", 45), big("d vast", 85))
	tank := goodTank()
	s := Stock{Lines: []Line{{Index: 0, Count: 1}, {Index: 1, Count: 1}, {Index: 2, Count: 3}}, Wanted: conflict.Moderate}
	sp := newSplit(b, &s)
	a := sp.arenaIn(tank)
	if c := a.clash(0, 1); c != crowdable {
		t.Fatalf("bully and victim: %v, scores %v", c, joined(b, Stock{Lines: s.Lines[:1], Tank: tank, Wanted: s.Wanted}, 1, 1).pairs)
	}
	if a.clash(0, 2) != peaceful || !a.holds(graph.SetOf(0, 1)) || a.holds(graph.SetOf(0, 1, 2)) {
		t.Errorf("with the quiet one %v, two %v, three %v", a.clash(0, 2), a.holds(graph.SetOf(0, 1)), a.holds(graph.SetOf(0, 1, 2)))
	}
	g := mustGroup(t, b, s, *tank, *tank)
	if len(g.Groups) != 2 || len(g.Unplaced) != 0 || !g.Optimal {
		t.Errorf("%d groups, unplaced %v", len(g.Groups), g.Unplaced)
	}
	with := mustAdd(t, b, Stock{Lines: s.Lines[:2], Tank: tank, Wanted: s.Wanted}, AdditionOptions{})
	if len(with.Fitting) != 1 || with.Fitting[0].Index != 2 || len(with.Below) != 1 || with.Below[0].Limit.With != TheTank || with.Below[0].Decision != Hold {
		t.Fatalf("fitting %+v, below %+v", with.Fitting, with.Below)
	}
	if l := with.Below[0].Limit.Statement; l.Actor != bully || l.Other != b.Snapshot.At(1) {
		t.Errorf("limited by %+v", l)
	}
}

func TestAListTooHeavyForOneTankIsSplit(t *testing.T) {
	heavy := func(name string) *species.Species {
		return altered(name, func(sp *species.Species) { sp.Traits[species.Length] = exactly(12) })
	}
	b := worldOf(t, heavy("a"), heavy("b"))
	tank := goodTank()
	tank.LengthCM, tank.WidthCM, tank.HeightCM = 200, 60, 20
	count := 1
	for ; count < 60; count++ { // the most that each kind can be alone
		if joined(b, Stock{Tank: tank, Wanted: conflict.Moderate}, 0, count+1).decision == Hold {
			break
		}
	}
	s := Stock{Lines: []Line{{Index: 0, Count: count}, {Index: 1, Count: count}}, Wanted: conflict.Moderate}
	g := mustGroup(t, b, s, *tank, *tank)
	if len(g.Groups) != 2 || len(g.Unplaced) != 0 {
		t.Errorf("%d of each: %d groups, unplaced %v", count, len(g.Groups), g.Unplaced)
	}
	one := mustGroup(t, b, s, *tank)
	if len(one.Unplaced) != 1 || one.Unplaced[0].With != TheTank {
		t.Errorf("one tank: unplaced %+v", one.Unplaced)
	}
}

func TestALineOfAKindInSeveralLinesDefendsTheMostThatAnyCompanyMakesIt(t *testing.T) {
	pairs := altered("a", func(sp *species.Species) {
		sp.Social, sp.Traits[species.GroupMin], sp.Traits[species.Territory] = species.Pair, exactly(2), exactly(30)
	})
	b := worldOf(t, pairs)
	s := Stock{Lines: []Line{{Index: 0, Count: 1, Sex: species.Male}, {Index: 0, Count: 2, Sex: species.Female}}}
	sp := newSplit(b, &s)
	for i := range sp.lines {
		r := &sp.lines[i]
		for company := r.heads; company <= 3; company++ {
			if g := b.For(0, conflict.Individual{Sex: r.Sex}).InNumbers(r.heads, company).Ground(); g > r.ground {
				t.Errorf("%d of %d defend %v, the line is given %v", r.heads, company, g, r.ground)
			}
		}
	}
}
