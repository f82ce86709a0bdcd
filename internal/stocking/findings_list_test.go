package stocking

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

func TestCrowding(t *testing.T) {
	territorial := func(sp *species.Species) { sp.Traits[species.Territory] = exactly(40) } // 5027 cm² each
	bottom := func(sp *species.Species) {
		sp.Zones.Share = [3]float64{0, 0, 1}
		sp.Traits[species.Length] = exactly(10) // 78.5 cm² each
	}
	piled := func(sp *species.Species) {
		bottom(sp)
		sp.Social = species.Group
	}
	runFindings(t, []findingCase{
		{ensures: "shoals of the bottom pile up by choice", fish: piled, lines: one(31), code: ZoneCrowded, absent: true},
		{ensures: "yet not without end", fish: piled, lines: one(32), code: ZoneCrowded, want: Advice, remedy: LargerTank},
		{ensures: "territories beyond four times the ground are advice", fish: territorial, lines: one(5), code: GroundCrowded, want: Advice, remedy: LargerTank},
		{ensures: "fewer are not", fish: territorial, lines: one(4), code: GroundCrowded, absent: true},
		{ensures: "a full level is advice", fish: bottom, lines: one(20), code: ZoneCrowded, want: Advice, remedy: LargerTank},
		{ensures: "a level that is not full is not", fish: bottom, lines: one(19), code: ZoneCrowded, absent: true},
		{ensures: "a full tank is advice and says it for all levels", fish: bottom, lines: one(39), code: TankCrowded, want: Advice, remedy: LargerTank},
		{ensures: "and not once more for one level", fish: bottom, lines: one(39), code: ZoneCrowded, absent: true},
		{ensures: "without a footprint nothing is crowded", fish: bottom, lines: one(300), tank: func(t *Tank) { size(0, 0, 0)(t); t.VolumeL = 300 }, code: TankCrowded, absent: true},
	})
}

func TestHybridsAndWaterNameBothLines(t *testing.T) {
	cold := altered("Cold", func(sp *species.Species) {
		sp.Water[species.Temperature] = species.WaterRange{Tolerated: species.Range{Low: 5, High: 19.9}, Preferred: species.Range{Low: 10, High: 18}, Basis: species.Memory}
	})
	cool := altered("Cool", func(sp *species.Species) {
		sp.Water[species.Temperature] = species.WaterRange{Tolerated: species.Range{Low: 5, High: 20}, Preferred: species.Range{Low: 10, High: 18}, Basis: species.Memory}
	})
	crossing := altered("Cross", func(sp *species.Species) { sp.Hybridises = []string{"Warm testus"} })
	b := worldOf(t, cold, cool, crossing, plainFish("Warm"))
	lines := func(index ...int) (out []Line) {
		for _, i := range index {
			out = append(out, Line{Index: i, Count: 2})
		}
		return out
	}
	for _, c := range []struct {
		ensures string
		lines   []Line
		code    Code
		want    []int // nil for absent
	}{
		{"ranges that do not meet leave no shared water", lines(0, 3), NoSharedWater, []int{0, 1}},
		{"the two extreme lines are named", lines(0, 1, 2, 3), NoSharedWater, []int{0, 2}},
		{"ranges that touch share their edge", lines(1, 3), NoSharedWater, nil},
		{"kinds that cross are named", lines(2, 3), Hybrids, []int{0, 1}},
		{"kinds that do not are not", lines(1, 3), Hybrids, nil},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			got := mustJudge(t, b, Stock{Lines: c.lines, Wanted: DefaultWanted})
			f := findingOf(&got, c.code)
			if c.want == nil {
				if f != nil {
					t.Fatalf("found %+v", *f)
				}
				return
			}
			if f == nil || f.Lines[0] != c.want[0] || f.Lines[1] != c.want[1] {
				t.Fatalf("found %+v, want lines %v", f, c.want)
			}
			if c.code == NoSharedWater && (got.Decision != Hold || got.Shared.OK || len(got.LeaveOut.Sets) == 0) {
				t.Errorf("decision %v, shared %v, leave out %+v", got.Decision, got.Shared.OK, got.LeaveOut)
			}
		})
	}
}

func TestOthersTakeRoomFromAPair(t *testing.T) {
	fierce := func(sp *species.Species) {
		sp.Traits[species.AggressionOthers] = exactly(0.5)
		sp.Traits[species.Territory] = exactly(40)
	}
	b := worldOf(t, altered("Fierce", fierce), altered("Other", fierce), plainFish("Plain"))
	two := []Line{{Index: 0, Count: 1}, {Index: 2, Count: 2}}
	three := append(two[:2:2], Line{Index: 1, Count: 3})
	value := func(c Check) float64 {
		for _, p := range c.Pairings {
			if c.Lines[p.First].Index == 0 && c.Lines[p.Second].Index == 2 {
				return p.Score.Value
			}
		}
		return -1
	}
	tank := goodTank()
	few, many := mustJudge(t, b, Stock{Lines: two, Tank: tank}), mustJudge(t, b, Stock{Lines: three, Tank: tank})
	if value(many) <= value(few) {
		t.Errorf("score %v beside others, %v without", value(many), value(few))
	}
	few, many = mustJudge(t, b, Stock{Lines: two}), mustJudge(t, b, Stock{Lines: three})
	if value(many) != value(few) {
		t.Errorf("without a tank others change the score: %v, %v", value(many), value(few))
	}
}

func TestDecisions(t *testing.T) {
	mild := func(sp *species.Species) { sp.Traits[species.FinNipping] = exactly(0.8) }
	finned := func(sp *species.Species) { sp.Traits[species.LongFins] = exactly(0.5) }
	eater := func(sp *species.Species) {
		sp.Traits[species.Length], sp.Traits[species.Piscivory] = exactly(30), exactly(1)
		sp.Traits[species.PreyLimit], sp.Traits[species.Gape] = exactly(0.5), exactly(0.2)
	}
	brash := func(sp *species.Species) {
		bully(sp)
		sp.Traits[species.AggressionOthers] = exactly(0.7)
	}
	b := worldOf(t, altered("Bully", brash), altered("Eater", eater), altered("Finned", finned), altered("Nipper", mild), plainFish("Plain"))
	for _, c := range []struct {
		ensures       string
		first, second int
		wanted        conflict.Level
		want          Decision
	}{
		{"a low pairing proceeds", 2, 4, conflict.Moderate, Proceed},
		{"a moderate pairing is advice", 2, 3, conflict.Moderate, Advise},
		{"a moderate pairing is held where only low is wanted", 2, 3, conflict.Low, Hold},
		{"a pairing above the wanted level is held", 0, 4, conflict.Moderate, Hold},
		{"a high pairing is advice where high is wanted", 0, 4, conflict.High, Advise},
		{"severe is never wanted", 1, 4, conflict.Severe, Hold},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			got := mustJudge(t, b, Stock{Lines: []Line{{Index: c.first, Count: 1}, {Index: c.second, Count: 1}}, Wanted: c.wanted})
			if got.Decision != c.want {
				t.Errorf("decision %v at score %v, want %v", got.Decision, got.Pairings[0].Score.Value, c.want)
			}
		})
	}
}
