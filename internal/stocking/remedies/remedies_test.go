package remedies

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"
)

func kindsOf(r *Remedy) (kinds []stocking.ChangeKind) {
	for i := range r.Changes {
		kinds = append(kinds, r.Changes[i].Kind)
	}
	slices.Sort(kinds)
	return kinds
}

// offers reports whether one of the remedies is exactly these kinds of change.
func offers(r *Remedies, kinds ...stocking.ChangeKind) bool {
	slices.Sort(kinds)
	return slices.ContainsFunc(r.Best, func(l Remedy) bool { return slices.Equal(kindsOf(&l), kinds) })
}

func described(r *Remedies) (out []string) {
	for i := range r.Best {
		out = append(out, fmt.Sprintf("%v %.1f → %v", kindsOf(&r.Best[i]), r.Best[i].Cost, r.Best[i].Decision))
	}
	return out
}

func TestTheCheapestChangesThatHelp(t *testing.T) {
	keep := func(l stocking.Line) stocking.Line { l.Keep = true; return l }
	for _, c := range []struct {
		ensures string
		lines   []stocking.Line
		best    []stocking.ChangeKind
		reaches stocking.Decision
		none    stocking.Code
		tank    *conflict.TankSize
	}{
		{"a shoal that is short of company is raised", []stocking.Line{stockingtest.Some(t, "neon tetra", 2)}, []stocking.ChangeKind{stocking.RaiseGroup}, stocking.Proceed, "", nil},
		{"of an oscar and tetras one is left out", []stocking.Line{stockingtest.Some(t, "oscar", 1), stockingtest.Some(t, "neon tetra", 10)}, []stocking.ChangeKind{stocking.LeaveLineOut}, stocking.Proceed, "", nil},
		{"where both must stay, one gets a tank of its own", []stocking.Line{keep(stockingtest.Some(t, "oscar", 1)), keep(stockingtest.Some(t, "neon tetra", 10))},
			[]stocking.ChangeKind{stocking.Separate}, stocking.Proceed, "", &conflict.TankSize{LengthCM: 200, WidthCM: 70, HeightCM: 60}},
		{"a list that is fine needs nothing", []stocking.Line{stockingtest.Some(t, "neon tetra", 10)}, nil, stocking.Proceed, NoneNeeded, nil},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			s := stocking.Stock{Lines: c.lines, Wanted: stocking.DefaultWanted}
			if c.tank != nil {
				s.Tank = stocking.TankOf(*c.tank)
			}
			check := stockingtest.MustJudge(t, testfish.Book(t), s)
			got := Find(testfish.Book(t), s, &check)
			if c.none != "" && (got.None == nil || got.None.Code != c.none || got.Best != nil) {
				t.Fatalf("%v, said %+v, want %s", described(&got), got.None, c.none)
			}
			if c.none != "" {
				return
			}
			if len(got.Best) == 0 || !slices.Equal(kindsOf(&got.Best[0]), c.best) || got.Best[0].Decision != c.reaches {
				t.Fatalf("%v from %s, want %v first", described(&got), wording.English(false).Summary(&check.Summary), c.best)
			}
			if !got.Complete || (c.reaches == stocking.Proceed) != (got.None == nil) {
				t.Errorf("complete %v, said %+v", got.Complete, got.None)
			}
		})
	}
}

func TestOneTankOfJumpers(t *testing.T) {
	no := false
	open := func(tank *stocking.Tank) { tank.Lid = &no }
	cool := func(tank *stocking.Tank) { tank.Reading[species.Temperature].Value = 19 }
	acid := func(tank *stocking.Tank) { tank.Reading[species.PH].Value = 5.2 }
	b := testfish.WorldOf(t, testfish.Altered("Fish a", func(sp *species.Species) { sp.Traits[species.Jumping] = testfish.Exactly(0.9) }))
	for _, c := range []struct {
		ensures string
		wrong   []func(*stocking.Tank)
		best    []stocking.ChangeKind
	}{
		{"an open tank is closed", []func(*stocking.Tank){open}, []stocking.ChangeKind{stocking.CloseLid}},
		{"cold water is warmed", []func(*stocking.Tank){cool}, []stocking.ChangeKind{stocking.MoveReading}},
		{"cold water and an open tank take two changes", []func(*stocking.Tank){open, cool}, []stocking.ChangeKind{stocking.CloseLid, stocking.MoveReading}},
		{"three faults take a plan of three", []func(*stocking.Tank){open, cool, acid}, []stocking.ChangeKind{stocking.CloseLid, stocking.MoveReading, stocking.MoveReading}},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			s := stocking.Stock{Lines: []stocking.Line{{Count: 1}}, Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
			for _, wrong := range c.wrong {
				wrong(s.Tank)
			}
			check := stockingtest.MustJudge(t, b, s)
			got := Find(b, s, &check)
			if len(got.Best) != 1 || !slices.Equal(kindsOf(&got.Best[0]), c.best) || got.Best[0].Decision != stocking.Proceed {
				t.Errorf("%v from %s, want %v", described(&got), wording.English(false).Summary(&check.Summary), c.best)
			}
		})
	}
}

func TestAFishTooLargeForAnyTankSoldIsBeyondHelp(t *testing.T) {
	b := testfish.WorldOf(t, testfish.Altered("Fish a", func(sp *species.Species) { sp.Traits[species.TankLength] = testfish.Known(900, 1000, 1100) }))
	s := stocking.Stock{Lines: []stocking.Line{{Count: 1}}, Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
	check := stockingtest.MustJudge(t, b, s)
	got := Find(b, s, &check)
	if check.Decision != stocking.Hold || got.Best != nil || got.None == nil || got.None.Code != NoneHelps || !got.Complete {
		t.Errorf("%v from %v, said %+v", described(&got), check.Decision, got.None)
	}
}

func TestALargerTankIsOfferedOnceAtItsSmallest(t *testing.T) {
	s := stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, "angelfish", 5)}, Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
	s.Tank.LengthCM, s.Tank.WidthCM = 60, 40
	s.Tank.Reading[species.Salinity] = conflict.Reading{}
	check := stockingtest.MustJudge(t, testfish.Book(t), s)
	got := Find(testfish.Book(t), s, &check)
	sizes := 0
	for i := range got.Best {
		if offers(&Remedies{Best: got.Best[i : i+1]}, stocking.LargerTank) {
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
			smaller.Tank = stockingtest.GoodTank()
			*smaller.Tank = *s.Tank
			smaller.Tank.LengthCM, smaller.Tank.WidthCM, smaller.Tank.HeightCM = size.LengthCM, size.WidthCM, size.HeightCM
			if d := stockingtest.MustJudge(t, testfish.Book(t), smaller).Decision; d <= got.Best[0].Decision {
				t.Errorf("%v would do as well as %v: %v", size, *chosen, d)
			}
		}
	}
}

func TestABasketOfChaosGetsAPlan(t *testing.T) {
	s := stockingtest.Dozen(t)
	check := stockingtest.MustJudge(t, testfish.Book(t), s)
	got := Find(testfish.Book(t), s, &check)
	if check.Decision != stocking.Hold || len(got.Best) == 0 || len(got.Best[0].Changes) < 3 {
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
func carried(t testing.TB, s stocking.Stock, check *stocking.Check, changes []stocking.Change) (d stocking.Decision) {
	t.Helper()
	for _, list := range Carry(testfish.Book(t), s, check.Lines, changes...) {
		d = max(d, stockingtest.MustJudge(t, testfish.Book(t), list).Decision)
	}
	return d
}

func TestAListTooLongToTryEverythingSaysSo(t *testing.T) {
	s := stockingtest.LongList(t)
	check := stockingtest.MustJudge(t, testfish.Book(t), s)
	got := Find(testfish.Book(t), s, &check)
	if got.Complete || got.Best != nil || got.None == nil || got.None.Code != NotAllTried {
		t.Errorf("%v, complete %v, said %+v", described(&got), got.Complete, got.None)
	}
}

func TestAGrowingConflictHasARemedyToo(t *testing.T) {
	s := stocking.Stock{Lines: []stocking.Line{stockingtest.Short(t, "oscar", 1, 5), stockingtest.Some(t, "neon tetra", 10)}, Tank: stocking.TankOf(conflict.TankSize{LengthCM: 200, WidthCM: 70, HeightCM: 60}), Wanted: stocking.DefaultWanted}
	check := stockingtest.MustJudge(t, testfish.Book(t), s)
	got := Find(testfish.Book(t), s, &check)
	if check.Decision != stocking.Hold || !offers(&got, stocking.LeaveLineOut) {
		t.Errorf("%v from %v", described(&got), check.Decision)
	}
}

func TestEveryKindOfChangeHasACost(t *testing.T) {
	s := stockingtest.Dozen(t)
	check := stockingtest.MustJudge(t, testfish.Book(t), s)
	m := newPlanner(testfish.Book(t), s, &check)
	size := conflict.StandardTanks[len(conflict.StandardTanks)-1]
	for _, kind := range []stocking.ChangeKind{stocking.RaiseGroup, stocking.AddFemales, stocking.ReduceGroup, stocking.LeaveLineOut, stocking.Separate, stocking.LargerTank, stocking.MoreCover,
		stocking.MoveReading, stocking.CloseLid, stocking.LaySand, stocking.MatureFilter, stocking.MoveTurnover, stocking.ChangeWater, stocking.RemovePlants} {
		if cost := m.cost(&stocking.Change{Kind: kind, Size: &size}); cost <= 0 || cost > 100 {
			t.Errorf("%s costs %v", kind, cost)
		}
	}
	heavier := check.Lines[0]
	check.Lines[0].Weight = 3
	if got := m.cost(&stocking.Change{Kind: stocking.LeaveLineOut}); got != 3*costLeaveOut {
		t.Errorf("leaving out a line of weight 3 after %v costs %v", heavier.Weight, got)
	}
}

// TestWhatAChangeCosts holds the order in which a keeper would rather make changes: what costs a
// minute before what costs an afternoon, that before what has to be kept up for ever, and a
// larger tank before doing without a fish only where it is little larger.
func TestWhatAChangeCosts(t *testing.T) {
	b := testfish.Book(t)
	s := stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, "neon tetra", 6), stockingtest.Some(t, "guppy", 2)}, Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
	check := stockingtest.MustJudge(t, b, s)
	m := newPlanner(b, s, &check)
	twice := conflict.TankSize{LengthCM: 120, WidthCM: 100, HeightCM: 50}
	line := slices.IndexFunc(check.Lines, func(l stocking.Line) bool { return l.Count == 6 })
	for _, c := range []struct {
		change stocking.Change
		want   float64
	}{
		{stocking.Change{Kind: stocking.CloseLid}, 1},
		{stocking.Change{Kind: stocking.MoveReading}, 2},
		{stocking.Change{Kind: stocking.MoveTurnover}, 2},
		{stocking.Change{Kind: stocking.MatureFilter}, 2},
		{stocking.Change{Kind: stocking.ReduceGroup}, 2},
		{stocking.Change{Kind: stocking.LaySand}, 3},
		{stocking.Change{Kind: stocking.RemovePlants}, 3},
		{stocking.Change{Kind: stocking.ChangeWater, From: 0.25, To: 0.5}, 2},
		{stocking.Change{Kind: stocking.MoreCover, From: 0.5, To: 0.75}, 2},
		{stocking.Change{Kind: stocking.RaiseGroup, Line: line, Count: 11}, 2},
		{stocking.Change{Kind: stocking.AddFemales, Count: 5}, 2},
		{stocking.Change{Kind: stocking.LargerTank, Size: &twice}, 9},
		{stocking.Change{Kind: stocking.LeaveLineOut}, 6},
		{stocking.Change{Kind: stocking.Separate}, 12},
	} {
		if got := m.cost(&c.change); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s costs %v, want %v", c.change.Kind, got, c.want)
		}
	}
}

func TestCoverIsTriedInTenthsUpToNineTenths(t *testing.T) {
	s := stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, "neon tetra", 6)}, Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
	check := stockingtest.MustJudge(t, testfish.Book(t), s)
	var tried []float64
	for _, c := range newPlanner(testfish.Book(t), s, &check).covers() {
		tried = append(tried, c.To)
	}
	if !slices.Equal(tried, []float64{0.7, 0.8, 0.9}) { // the tank has 0.6
		t.Errorf("tried %v", tried)
	}
}

// Of a kind with two lines that may not join, either both are left out or both get a tank: nobody is told to buy the
// females and a tank for them, and to leave the males in the shop.
func TestOneKindHasOneFate(t *testing.T) {
	b := testfish.Book(t)
	s := stocking.Stock{Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
	male, female := stockingtest.Some(t, "oscar", 1), stockingtest.Some(t, "oscar", 1)
	male.Sex, female.Sex, male.Incoming, female.Incoming = species.Male, species.Female, true, true
	s.Lines = []stocking.Line{stockingtest.Some(t, "neon tetra", 10), male, female}
	check := stockingtest.MustJudge(t, b, s)
	got := Find(b, s, &check)
	if len(got.Best) == 0 || len(got.Best[0].Changes) != 2 {
		t.Fatalf("from %v: %v", check.Decision, described(&got))
	}
	for i := range got.Best {
		fates := map[stocking.ChangeKind]bool{}
		for _, c := range got.Best[i].Changes {
			if c.Kind == stocking.LeaveLineOut || c.Kind == stocking.Separate {
				fates[c.Kind] = true
			}
		}
		if len(fates) > 1 {
			t.Errorf("parted: %v", described(&Remedies{Best: got.Best[i : i+1]}))
		}
	}
}
