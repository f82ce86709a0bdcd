package stocking_test

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
)

func TestCrowding(t *testing.T) {
	territorial := func(sp *species.Species) { sp.Traits[species.Territory] = testfish.Exactly(40) } // 5027 cm² each
	bottom := func(sp *species.Species) {
		sp.Zones.Share = [3]float64{0, 0, 1}
		sp.Traits[species.Length] = testfish.Exactly(10) // 78.5 cm² each
	}
	piled := func(sp *species.Species) {
		bottom(sp)
		sp.Social = species.Group
	}
	runFindings(t, []findingCase{
		{ensures: "shoals of the bottom pile up by choice", fish: piled, lines: one(31), code: stocking.ZoneCrowded, absent: true},
		{ensures: "yet not without end", fish: piled, lines: one(32), code: stocking.ZoneCrowded, want: stocking.Advice, remedy: stocking.LargerTank},
		{ensures: "territories beyond four times the ground are advice", fish: territorial, lines: one(5), code: stocking.GroundCrowded, want: stocking.Advice, remedy: stocking.LargerTank},
		{ensures: "fewer are not", fish: territorial, lines: one(4), code: stocking.GroundCrowded, absent: true},
		{ensures: "a full level is advice", fish: bottom, lines: one(20), code: stocking.ZoneCrowded, want: stocking.Advice, remedy: stocking.LargerTank},
		{ensures: "a level that is not full is not", fish: bottom, lines: one(19), code: stocking.ZoneCrowded, absent: true},
		{ensures: "a full tank is advice and says it for all levels", fish: bottom, lines: one(39), code: stocking.TankCrowded, want: stocking.Advice, remedy: stocking.LargerTank},
		{ensures: "and not once more for one level", fish: bottom, lines: one(39), code: stocking.ZoneCrowded, absent: true},
		{ensures: "a volume alone is crowded as a tank of customary proportions", fish: bottom, lines: one(300), tank: func(t *stocking.Tank) { size(0, 0, 0)(t); t.VolumeL = 300 }, code: stocking.TankCrowded, want: stocking.Advice, remedy: stocking.LargerTank},
	})
}

func TestHybridsAndWaterNameBothLines(t *testing.T) {
	cold := testfish.Altered("Cold", func(sp *species.Species) {
		sp.Water[species.Temperature] = species.WaterRange{Tolerated: species.Range{Low: 5, High: 19.9}, Preferred: species.Range{Low: 10, High: 18}, Basis: species.Memory}
	})
	cool := testfish.Altered("Cool", func(sp *species.Species) {
		sp.Water[species.Temperature] = species.WaterRange{Tolerated: species.Range{Low: 5, High: 20}, Preferred: species.Range{Low: 10, High: 18}, Basis: species.Memory}
	})
	crossing := testfish.Altered("Cross", func(sp *species.Species) { sp.Hybridises = []string{"Warm testus"} })
	b := testfish.WorldOf(t, cold, cool, crossing, testfish.PlainFish("Warm"))
	lines := func(index ...int) (out []stocking.Line) {
		for _, i := range index {
			out = append(out, stocking.Line{Index: i, Count: 2})
		}
		return out
	}
	for _, c := range []struct {
		ensures string
		lines   []stocking.Line
		code    stocking.Code
		want    []int // nil for absent
	}{
		{"ranges that do not meet leave no shared water", lines(0, 3), stocking.NoSharedWater, []int{0, 1}},
		{"the two extreme lines are named", lines(0, 1, 2, 3), stocking.NoSharedWater, []int{0, 2}},
		{"ranges that touch share their edge", lines(1, 3), stocking.NoSharedWater, nil},
		{"kinds that cross are named", lines(2, 3), stocking.Hybrids, []int{0, 1}},
		{"kinds that do not are not", lines(1, 3), stocking.Hybrids, nil},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			got := stockingtest.MustJudge(t, b, stocking.Stock{Lines: c.lines, Wanted: stocking.DefaultWanted})
			f := stockingtest.FindingOf(&got, c.code)
			if c.want == nil {
				if f != nil {
					t.Fatalf("found %+v", *f)
				}
				return
			}
			if f == nil || f.Lines[0] != c.want[0] || f.Lines[1] != c.want[1] {
				t.Fatalf("found %+v, want lines %v", f, c.want)
			}
			if c.code == stocking.NoSharedWater && (got.Decision != stocking.Hold || got.Shared.OK || len(got.LeaveOut.Sets) == 0) {
				t.Errorf("decision %v, shared %v, leave out %+v", got.Decision, got.Shared.OK, got.LeaveOut)
			}
		})
	}
}

func TestOthersTakeRoomFromAPair(t *testing.T) {
	fierce := func(sp *species.Species) {
		sp.Traits[species.AggressionOthers] = testfish.Exactly(0.5)
		sp.Traits[species.Territory] = testfish.Exactly(40)
	}
	b := testfish.WorldOf(t, testfish.Altered("Fierce", fierce), testfish.Altered("Other", fierce), testfish.PlainFish("Plain"))
	two := []stocking.Line{{Index: 0, Count: 1}, {Index: 2, Count: 2}}
	three := append(two[:2:2], stocking.Line{Index: 1, Count: 3})
	value := func(c stocking.Check) float64 {
		for _, p := range c.Pairings {
			if c.Lines[p.First].Index == 0 && c.Lines[p.Second].Index == 2 {
				return p.Score.Value
			}
		}
		return -1
	}
	tank := stockingtest.GoodTank()
	few, many := stockingtest.MustJudge(t, b, stocking.Stock{Lines: two, Tank: tank}), stockingtest.MustJudge(t, b, stocking.Stock{Lines: three, Tank: tank})
	if value(many) <= value(few) {
		t.Errorf("score %v beside others, %v without", value(many), value(few))
	}
	few, many = stockingtest.MustJudge(t, b, stocking.Stock{Lines: two}), stockingtest.MustJudge(t, b, stocking.Stock{Lines: three})
	if value(many) != value(few) {
		t.Errorf("without a tank others change the score: %v, %v", value(many), value(few))
	}
}

func TestDecisions(t *testing.T) {
	mild := func(sp *species.Species) { sp.Traits[species.FinNipping] = testfish.Exactly(0.6) }
	finned := func(sp *species.Species) { sp.Traits[species.LongFins] = testfish.Exactly(0.5) }
	eater := func(sp *species.Species) {
		sp.Traits[species.Length], sp.Traits[species.Piscivory] = testfish.Exactly(30), testfish.Exactly(1)
		sp.Traits[species.PreyLimit], sp.Traits[species.Gape] = testfish.Exactly(0.5), testfish.Exactly(0.2)
	}
	brash := func(sp *species.Species) {
		bully(sp)
		sp.Traits[species.AggressionOthers] = testfish.Exactly(0.7)
	}
	b := testfish.WorldOf(t, testfish.Altered("Bully", brash), testfish.Altered("Eater", eater), testfish.Altered("Finned", finned), testfish.Altered("Nipper", mild), testfish.PlainFish("Plain"))
	for _, c := range []struct {
		ensures       string
		first, second int
		wanted        conflict.Level
		want          stocking.Decision
	}{
		{"a low pairing proceeds", 2, 4, conflict.Moderate, stocking.Proceed},
		{"a moderate pairing is advice", 2, 3, conflict.Moderate, stocking.Advise},
		{"a moderate pairing is held where only low is wanted", 2, 3, conflict.Low, stocking.Hold},
		{"a pairing above the wanted level is held", 0, 4, conflict.Moderate, stocking.Hold},
		{"a high pairing is advice where high is wanted", 0, 4, conflict.High, stocking.Advise},
		{"severe is never wanted", 1, 4, conflict.Severe, stocking.Hold},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			got := stockingtest.MustJudge(t, b, stocking.Stock{Lines: []stocking.Line{{Index: c.first, Count: 1}, {Index: c.second, Count: 1}}, Wanted: c.wanted})
			if got.Decision != c.want {
				t.Errorf("decision %v at score %v, want %v", got.Decision, got.Pairings[0].Score.Value, c.want)
			}
		})
	}
}

// A reading that is wrong for one kind is moved only where the others can live with it.
func TestAReadingIsMovedOnlyWhereNobodyElsePays(t *testing.T) {
	between := func(name string, tolerated, preferred species.Range) *species.Species {
		return testfish.Altered(name, func(sp *species.Species) {
			sp.Water[species.Temperature] = species.WaterRange{Tolerated: tolerated, Preferred: preferred, Basis: species.Memory}
		})
	}
	b := testfish.WorldOf(t, between("A hot", species.Range{Low: 26, High: 32}, species.Range{Low: 28, High: 30}),
		between("B cold", species.Range{Low: 16, High: 25.5}, species.Range{Low: 18, High: 23}), // no degree for both
		between("C mild", species.Range{Low: 20, High: 27}, species.Range{Low: 22, High: 26.5}), // its best is borne by the first
		between("D fresh", species.Range{Low: 18, High: 27}, species.Range{Low: 18, High: 24}))  // its best is not
	for _, c := range []struct {
		ensures string
		beside  int
		to      float64 // 0 for no move
	}{
		{"no water suits both", 1, 0}, {"the best of one is borne by the other", 2, 26.5}, {"it is not", 3, 0},
	} {
		tank := stocking.Tank{}
		reading(species.Temperature, 29)(&tank)
		got := stockingtest.MustJudge(t, b, stocking.Stock{
			Lines: []stocking.Line{{Index: 0, Count: 2}, {Index: c.beside, Count: 2}}, Tank: &tank, Wanted: stocking.DefaultWanted,
		})
		f := stockingtest.FindingOf(&got, stocking.OutsideTolerated)
		switch {
		case f == nil:
			t.Errorf("%s: 29 °C is no fault", c.ensures)
		case c.to == 0 && f.Remedy != nil, c.to > 0 && (f.Remedy == nil || f.Remedy.To != c.to):
			t.Errorf("%s: %+v", c.ensures, f.Remedy)
		}
	}
}
