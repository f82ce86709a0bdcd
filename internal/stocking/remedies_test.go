package stocking

import (
	"fmt"
	"slices"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

func kindsOf(r *ListRemedy) (kinds []ChangeKind) {
	for i := range r.Changes {
		kinds = append(kinds, r.Changes[i].Kind)
	}
	slices.Sort(kinds)
	return kinds
}

// offers reports whether one of the remedies is exactly these kinds of change.
func offers(r *ListRemedies, kinds ...ChangeKind) bool {
	slices.Sort(kinds)
	return slices.ContainsFunc(r.Best, func(l ListRemedy) bool { return slices.Equal(kindsOf(&l), kinds) })
}

func described(r *ListRemedies) (out []string) {
	for i := range r.Best {
		out = append(out, fmt.Sprintf("%v %.1f → %v", kindsOf(&r.Best[i]), r.Best[i].Cost, r.Best[i].Decision))
	}
	return out
}

func TestTheCheapestChangesThatHelp(t *testing.T) {
	keep := func(l Line) Line { l.Keep = true; return l }
	for _, c := range []struct {
		ensures string
		lines   []Line
		best    []ChangeKind
		reaches Decision
		none    Code
	}{
		{"a shoal that is short of company is raised", []Line{some(t, "neon tetra", 2)}, []ChangeKind{RaiseGroup}, Proceed, ""},
		{"of an oscar and tetras one is left out", []Line{some(t, "oscar", 1), some(t, "neon tetra", 10)}, []ChangeKind{LeaveLineOut}, Proceed, ""},
		{"where both must stay, one gets a tank of its own", []Line{keep(some(t, "oscar", 1)), keep(some(t, "neon tetra", 10))},
			[]ChangeKind{Separate}, Proceed, ""},
		{"a list that is fine needs nothing", []Line{some(t, "neon tetra", 10)}, nil, Proceed, NoneNeeded},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			s := Stock{Lines: c.lines, Wanted: DefaultWanted}
			check := mustJudge(t, book(t), s)
			got := Remedies(book(t), s, &check)
			if c.none != "" && (got.None == nil || got.None.Code != c.none || got.Best != nil) {
				t.Fatalf("%v, said %+v, want %s", described(&got), got.None, c.none)
			}
			if c.none != "" {
				return
			}
			if len(got.Best) == 0 || !slices.Equal(kindsOf(&got.Best[0]), c.best) || got.Best[0].Decision != c.reaches {
				t.Fatalf("%v from %s, want %v first", described(&got), English(false).Summary(&check.Summary), c.best)
			}
			if !got.Complete || (c.reaches == Proceed) != (got.None == nil) {
				t.Errorf("complete %v, said %+v", got.Complete, got.None)
			}
		})
	}
}

func TestOneTankOfJumpers(t *testing.T) {
	no := false
	open := func(tank *Tank) { tank.Lid = &no }
	cool := func(tank *Tank) { tank.Reading[species.Temperature].Value = 19 }
	acid := func(tank *Tank) { tank.Reading[species.PH].Value = 5.5 }
	b := worldOf(t, altered("Fish a", func(sp *species.Species) { sp.Traits[species.Jumping] = exactly(0.9) }))
	for _, c := range []struct {
		ensures string
		wrong   []func(*Tank)
		best    []ChangeKind
	}{
		{"an open tank is closed", []func(*Tank){open}, []ChangeKind{CloseLid}},
		{"cold water is warmed", []func(*Tank){cool}, []ChangeKind{MoveReading}},
		{"cold water and an open tank take two changes", []func(*Tank){open, cool}, []ChangeKind{CloseLid, MoveReading}},
		{"three faults take a plan of three", []func(*Tank){open, cool, acid}, []ChangeKind{CloseLid, MoveReading, MoveReading}},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			s := Stock{Lines: []Line{{Count: 1}}, Tank: goodTank(), Wanted: DefaultWanted}
			for _, wrong := range c.wrong {
				wrong(s.Tank)
			}
			check := mustJudge(t, b, s)
			got := Remedies(b, s, &check)
			if len(got.Best) != 1 || !slices.Equal(kindsOf(&got.Best[0]), c.best) || got.Best[0].Decision != Proceed {
				t.Errorf("%v from %s, want %v", described(&got), English(false).Summary(&check.Summary), c.best)
			}
		})
	}
}

func TestAFishTooLargeForAnyTankSoldIsBeyondHelp(t *testing.T) {
	b := worldOf(t, altered("Fish a", func(sp *species.Species) { sp.Traits[species.TankLength] = known(900, 1000, 1100) }))
	s := Stock{Lines: []Line{{Count: 1}}, Tank: goodTank(), Wanted: DefaultWanted}
	check := mustJudge(t, b, s)
	got := Remedies(b, s, &check)
	if check.Decision != Hold || got.Best != nil || got.None == nil || got.None.Code != NoneHelps || !got.Complete {
		t.Errorf("%v from %v, said %+v", described(&got), check.Decision, got.None)
	}
}

func TestALargerTankIsOfferedOnceAtItsSmallest(t *testing.T) {
	s := Stock{Lines: []Line{some(t, "angelfish", 5)}, Tank: goodTank(), Wanted: DefaultWanted}
	s.Tank.LengthCM, s.Tank.WidthCM = 60, 40
	s.Tank.Reading[species.Salinity] = conflict.Reading{}
	check := mustJudge(t, book(t), s)
	got := Remedies(book(t), s, &check)
	sizes := 0
	for i := range got.Best {
		if offers(&ListRemedies{Best: got.Best[i : i+1]}, LargerTank) {
			sizes++
		}
	}
	if sizes != 1 {
		t.Fatalf("from %v: %v", check.Decision, described(&got))
	}
	chosen := got.Best[0].Changes[0].Size
	for _, size := range conflict.StandardTanks {
		if size.LengthCM >= 60 && size.HeightCM >= 50 && size.FootprintCM2()*size.HeightCM < chosen.FootprintCM2()*chosen.HeightCM {
			smaller := s
			smaller.Tank = goodTank()
			*smaller.Tank = *s.Tank
			smaller.Tank.LengthCM, smaller.Tank.WidthCM, smaller.Tank.HeightCM = size.LengthCM, size.WidthCM, size.HeightCM
			if d := mustJudge(t, book(t), smaller).Decision; d <= got.Best[0].Decision {
				t.Errorf("%v would do as well as %v: %v", size, *chosen, d)
			}
		}
	}
}

func TestABasketOfChaosGetsAPlan(t *testing.T) {
	s := dozen(t)
	check := mustJudge(t, book(t), s)
	got := Remedies(book(t), s, &check)
	if check.Decision != Hold || len(got.Best) == 0 || len(got.Best[0].Changes) < 3 {
		t.Fatalf("%v from %v", described(&got), check.Decision)
	}
	r := &got.Best[0]
	for i := range r.Changes { // nothing in the plan is idle
		fewer := slices.Delete(slices.Clone(r.Changes), i, i+1)
		if d := carried(t, s, &check, fewer); d <= r.Decision {
			t.Errorf("%v without %s comes to %v as well", described(&got), r.Changes[i].Kind, d)
		}
	}
}

// carried makes changes and judges what comes of them.
func carried(t testing.TB, s Stock, check *Check, changes []Change) (d Decision) {
	t.Helper()
	for _, list := range Carry(book(t), s, check.Lines, changes...) {
		d = max(d, mustJudge(t, book(t), list).Decision)
	}
	return d
}

func TestAListTooLongToTryEverythingSaysSo(t *testing.T) {
	s := longList(t)
	check := mustJudge(t, book(t), s)
	got := Remedies(book(t), s, &check)
	if got.Complete || got.Best != nil || got.None == nil || got.None.Code != NotAllTried {
		t.Errorf("%v, complete %v, said %+v", described(&got), got.Complete, got.None)
	}
}

func TestAGrowingConflictHasARemedyToo(t *testing.T) {
	s := Stock{Lines: []Line{short(t, "angelfish", 5, 6), some(t, "neon tetra", 10)}, Wanted: DefaultWanted}
	check := mustJudge(t, book(t), s)
	got := Remedies(book(t), s, &check)
	if check.Decision != Hold || !offers(&got, LeaveLineOut) {
		t.Errorf("%v from %v", described(&got), check.Decision)
	}
}

func TestEveryKindOfChangeHasACost(t *testing.T) {
	s := dozen(t)
	check := mustJudge(t, book(t), s)
	m := newMender(book(t), s, &check)
	size := conflict.StandardTanks[len(conflict.StandardTanks)-1]
	for _, kind := range []ChangeKind{RaiseGroup, AddFemales, ReduceGroup, LeaveLineOut, Separate, LargerTank, MoreCover,
		MoveReading, CloseLid, LaySand, MatureFilter, MoveTurnover, ChangeWater, RemovePlants} {
		if cost := m.cost(&Change{Kind: kind, Size: &size}); cost <= 0 || cost > 100 {
			t.Errorf("%s costs %v", kind, cost)
		}
	}
	heavier := check.Lines[0]
	check.Lines[0].Weight = 3
	if got := m.cost(&Change{Kind: LeaveLineOut}); got != 3*costLeaveOut {
		t.Errorf("leaving out a line of weight 3 after %v costs %v", heavier.Weight, got)
	}
}
