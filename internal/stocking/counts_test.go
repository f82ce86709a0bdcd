package stocking_test

import (
	"math"
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

// pairOf is the pairing of two different lines.
func pairOf(t testing.TB, c *stocking.Check) *stocking.ListPairing {
	t.Helper()
	for i := range c.Pairings {
		if p := &c.Pairings[i]; p.First != p.Second {
			return p
		}
	}
	t.Fatal("no two lines meet")
	return nil
}

// wanting is a plain fish that prefers temperatures over 12 °C from a lowest.
func wanting(name string, lowest float64) *species.Species {
	return testfish.Altered(name, func(sp *species.Species) {
		w := &sp.Water[species.Temperature]
		w.Tolerated, w.Preferred = species.Range{Low: lowest - 4, High: lowest + 16}, species.Range{Low: lowest, High: lowest + 12}
	})
}

func TestReadingsThatSuitBothSettleTheirWater(t *testing.T) {
	b := testfish.WorldOf(t, wanting("a", 14), wanting("b", 25.5))
	for ensures, c := range map[string]struct {
		tank    func(*stocking.Tank)
		settled bool
		want    stocking.Decision
	}{
		"without a reading it is advice":             {func(*stocking.Tank) {}, false, stocking.Advise},
		"a reading that both prefer settles it":      {reading(species.Temperature, 25.8), true, stocking.Proceed},
		"the edges of what both prefer are inside":   {reading(species.Temperature, 25.5), true, stocking.Proceed},
		"one that the first alone prefers does not":  {reading(species.Temperature, 25), false, stocking.Advise},
		"one that the second alone prefers does not": {reading(species.Temperature, 26.6), false, stocking.Advise},
		"another parameter's reading does not":       {reading(species.PH, 7), false, stocking.Advise},
	} {
		s := stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: 2}, {Index: 1, Count: 2}}, Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
		s.Tank.Reading = [species.NumParameters]conflict.Reading{}
		c.tank(s.Tank)
		got := stockingtest.MustJudge(t, b, s)
		p := pairOf(t, &got)
		if p.Score.Level != conflict.Moderate || p.Score.Reason != conflict.Water {
			t.Fatalf("%v for %v: the pairing is no test", p.Score.Level, p.Score.Reason)
		}
		if p.Settled != c.settled || got.Decision != c.want {
			t.Errorf("%s: settled %v, decision %v, want %v", ensures, p.Settled, got.Decision, c.want)
		}
		found := false
		for i := range got.Reasons {
			f := &got.Reasons[i]
			found = found || f.Code() == "water_differs" && (f.Severity == stocking.Note) == c.settled
		}
		if !found {
			t.Errorf("%s: the pairing is not told as it counts", ensures)
		}
	}
}

// TestWaterIsSettledExactlyWhereItIsAllThatIsWrong reads, for every two kinds that every shop has, water in the middle
// of what both prefer: their pairing is settled where it is moderate and would be low without any hazard of water.
func TestWaterIsSettledExactlyWhereItIsAllThatIsWrong(t *testing.T) {
	b := testfish.Book(t)
	settled, left := 0, 0
	for x := range b.Snapshot.Len() {
		for y := x + 1; y < b.Snapshot.Len(); y++ {
			tank, ok := suitingTank(b.Snapshot.At(x), b.Snapshot.At(y))
			if !ok {
				continue
			}
			j := stocking.NewAssessment(b, &stocking.Stock{Lines: []stocking.Line{{Index: x}, {Index: y}}, Tank: tank, Wanted: stocking.DefaultWanted})
			j.ScoreSome(func(first, second int) bool { return first != second })
			p, c := j.Pairs[0], j.Conditions(0, 1)
			causes := b.Model.CausesOf(j.Lines[0].Profile, j.Lines[1].Profile, &c)
			without := 100 * (1 - (1-causes.Value/100)*math.Exp(causes.By[conflict.Water]))
			want := conflict.LevelOf(p.Score) == conflict.Moderate && causes.By[conflict.Water] > 0 && without < conflict.ModerateFrom-1e-9
			if p.Settled != want {
				t.Errorf("%s with %s: %v, without water %v, settled %v", b.Snapshot.At(x).ID, b.Snapshot.At(y).ID, p.Score, without, p.Settled)
			}
			if want {
				settled++
			} else if p.Level == conflict.Moderate {
				left++
			}
		}
	}
	if settled == 0 || left == 0 {
		t.Errorf("%d are settled, %d left as they are: no test", settled, left)
	}
}

// suitingTank is a tank with water in the middle of what two kinds that every shop has prefer; ok is false where they
// are none, or some parameter has no such water.
func suitingTank(x, y *species.Species) (tank *stocking.Tank, ok bool) {
	if x.Available != species.EveryShop || y.Available != species.EveryShop || conflict.OneKind(x, y) {
		return nil, false
	}
	tank = stockingtest.GoodTank()
	for p := range species.Parameter(species.NumParameters) {
		if !x.Water[p].Known() || !y.Water[p].Known() {
			return nil, false
		}
		both, meet := x.Water[p].Preferred.Intersect(y.Water[p].Preferred)
		if !meet {
			return nil, false
		}
		tank.Reading[p] = conflict.Reading{Value: (both.Low + both.High) / 2, Known: true}
	}
	return tank, true
}

func TestSnailsBoughtWithWhatEatsThemAreAskedAbout(t *testing.T) {
	b := testfish.Book(t)
	for _, c := range []struct {
		ensures    string
		fish       string
		snail      string
		fishJoins  bool
		snailJoins bool
		want       stocking.Decision
		code       stocking.Code
	}{
		{"pest snails in the same basket may be its food", "pea puffer", "planorbella-duryi", true, true, stocking.Advise, stocking.MeantToBeEaten},
		{"those that are there already are its food", "pea puffer", "planorbella-duryi", true, false, stocking.Proceed, stocking.MeantToBeEaten},
		{"those that join it may be lost on it", "pea puffer", "planorbella-duryi", false, true, stocking.Hold, "predation"},
		{"nobody buys a nerite as food", "pea puffer", "vittina-natalensis", true, true, stocking.Hold, "predation"},
	} {
		lines := []stocking.Line{stockingtest.Some(t, c.fish, 1), stockingtest.Some(t, c.snail, 5)}
		lines[0].Incoming, lines[1].Incoming = c.fishJoins, c.snailJoins
		got := stockingtest.MustJudge(t, b, stocking.Stock{Lines: lines, Wanted: stocking.DefaultWanted})
		if got.Decision != c.want || len(got.Reasons) == 0 || got.Reasons[0].Code() != c.code && c.want > stocking.Proceed {
			t.Errorf("%s: %v, %v", c.ensures, got.Decision, got.Reasons)
		}
		if c.want != stocking.Advise {
			continue
		}
		if text := wording.English(false).Finding(&got.Reasons[0]); text != "Pea puffers eat seminole ramshorns: ask whether they are meant as food." {
			t.Errorf("%s: %q", c.ensures, text)
		}
	}
}

func TestDwarfShrimpsBearASmallFishOrTwo(t *testing.T) {
	b := testfish.Book(t)
	for _, c := range []struct {
		ensures        string
		fish           string
		many           int
		shrimp         string
		shrimps        int
		want           stocking.Decision
		borne, severer bool
	}{
		{"a fighter takes the young", "betta", 1, "cherry shrimp", 10, stocking.Advise, true, false},
		{"shrimps do not keep up with a shoal", "peacock gudgeon", 3, "cherry shrimp", 30, stocking.Hold, false, false},
		{"two small fish are borne", "peacock gudgeon", 2, "cherry shrimp", 30, stocking.Advise, true, false},
		{"a hunter of shrimps takes the last", "pea puffer", 1, "cherry shrimp", 30, stocking.Hold, false, true},
		{"a large fish takes all", "angelfish", 1, "cherry shrimp", 30, stocking.Hold, false, true},
	} {
		lines := []stocking.Line{stockingtest.Some(t, c.fish, c.many), stockingtest.Some(t, c.shrimp, c.shrimps)}
		got := stockingtest.MustJudge(t, b, stocking.Stock{Lines: lines, Wanted: stocking.DefaultWanted})
		p := pairOf(t, &got)
		if p.Score.Level < conflict.High || (p.Score.Level == conflict.Severe) != c.severer {
			t.Fatalf("%s: %v is no test", c.ensures, p.Score)
		}
		if p.Borne != c.borne || got.Decision != c.want {
			t.Errorf("%s: borne %v, %v, want %v", c.ensures, p.Borne, got.Decision, c.want)
		}
	}
}

// TestNothingButBeingEatenIsBorne looks at every small kind beside a dwarf shrimp: what is borne is high by predation
// alone, and what other trouble makes high stays so.
func TestNothingButBeingEatenIsBorne(t *testing.T) {
	b := testfish.Book(t)
	borne, other := 0, 0
	for _, shrimp := range []string{"cherry shrimp", "caridina-dennerli"} {
		for i := range b.Snapshot.Len() {
			lines := []stocking.Line{stockingtest.Some(t, shrimp, 20), {Index: i, Count: 1}}
			if lines[0].Index == i {
				continue
			}
			j := stocking.NewAssessment(b, &stocking.Stock{Lines: lines, Wanted: stocking.DefaultWanted})
			j.ScoreSome(func(first, second int) bool { return first != second })
			p, c := j.Pairs[0], j.Conditions(0, 1)
			causes := b.Model.CausesOf(j.Lines[0].Profile, j.Lines[1].Profile, &c)
			without := 100 * (1 - (1-causes.Value/100)*math.Exp(causes.By[conflict.Predation]))
			switch {
			case p.Borne && (conflict.LevelOf(p.Score) != conflict.High || without >= conflict.HighFrom+1e-9):
				t.Errorf("%s with %s is borne: %v, %v if nothing were eaten", shrimp, b.Snapshot.At(i).ID, p.Score, without)
			case p.Borne:
				borne++
			case conflict.LevelOf(p.Score) == conflict.High && p.Level != conflict.High:
				t.Errorf("%s with %s: %v is not borne and counts as %v", shrimp, b.Snapshot.At(i).ID, p.Score, p.Level)
			case without >= conflict.HighFrom:
				other++
			}
		}
	}
	if borne == 0 || other == 0 {
		t.Errorf("%d are borne, %d have other trouble: no test", borne, other)
	}
}

// TestAGuessedShapeHasTheBenefitOfTheDoubt holds litres alone against tanks of the same volume whose sides are known:
// nothing is short of a guess that the roomier of them has, and what none of them has is not overlooked.
func TestAGuessedShapeHasTheBenefitOfTheDoubt(t *testing.T) {
	runFindings(t, []findingCase{
		{ensures: "120 l may be 90 by 40", fish: needing90by40, lines: one(2), tank: litres(120), code: stocking.FootprintTooSmall, absent: true},
		{ensures: "100 l are hardly ever", fish: needing90by40, lines: one(2), tank: litres(100), code: stocking.TankTooShort, want: stocking.Advice, remedy: stocking.LargerTank},
		{ensures: "60 l are not", fish: needing90by40, lines: one(2), tank: litres(54), code: stocking.TankTooShort, want: stocking.Advice, remedy: stocking.LargerTank},
		{ensures: "nor are 30", fish: needing90by40, lines: one(2), tank: litres(30), code: stocking.TankTooShort, want: stocking.Stop, remedy: stocking.LargerTank},
		{ensures: "a known tank a little too small is told so", fish: needing90by40, lines: one(2), tank: func(t *stocking.Tank) { t.LengthCM, t.WidthCM, t.HeightCM = 83, 36, 40 }, code: stocking.TankTooShort, want: stocking.Advice, remedy: stocking.LargerTank},
	})
	b := testfish.WorldOf(t, testfish.Altered("Fish a", needing90by40))
	list := stocking.NewAssessment(b, &stocking.Stock{Lines: one(2)})
	before := stocking.SizeShortages{Length: stocking.BelowLeast, Footprint: stocking.BelowLeast, Height: stocking.BelowLeast}
	for v := 10.0; v < 300; v++ {
		tank := (&stocking.Tank{VolumeL: v}).Shaped()
		known := *tank
		known.ShapeTaken = false
		short, strict := tank.ShortFor(&list.Lines[0]), known.ShortFor(&list.Lines[0])
		if short.Length > strict.Length || short.Height > strict.Height || max(short.Length, short.Footprint) > max(strict.Length, strict.Footprint) {
			t.Errorf("%v l: %+v, but %+v if the guess were known", v, short, strict)
		}
		if worst := max(short.Length, short.Footprint); worst > max(before.Length, before.Footprint) {
			t.Errorf("%v l: %+v, but %+v a litre less", v, short, before)
		}
		before = short
	}
}

func needing90by40(sp *species.Species) {
	sp.Traits[species.TankLength], sp.Traits[species.TankWidth] = testfish.Known(75, 90, 120), testfish.Known(30, 40, 45)
}

// litres makes a tank of which the volume alone is known.
func litres(v float64) func(*stocking.Tank) {
	return func(t *stocking.Tank) { t.LengthCM, t.WidthCM, t.HeightCM, t.VolumeL = 0, 0, 0, v }
}

func TestAnimalsThatAreNoFish(t *testing.T) {
	b := testfish.Book(t)
	frog := species.OtherAnimals()
	animal := func(name string) *species.OtherAnimal {
		for i := range frog {
			if frog[i].Name == name {
				return &frog[i]
			}
		}
		t.Fatalf("no %s", name)
		return nil
	}
	litresOf := func(v float64) *stocking.Tank { return &stocking.Tank{VolumeL: v} }
	sea := litresOf(300)
	sea.Reading[species.Salinity] = conflict.Reading{Value: 35, Known: true}
	for _, c := range []struct {
		ensures string
		animal  string
		joins   bool
		tank    *stocking.Tank
		beside  string
		want    stocking.Decision
	}{
		{"an animal of the sea dies in a tank that is not known to be salt", "animal of the sea", true, litresOf(300), "", stocking.Hold},
		{"no tank, no word but that it is not covered", "animal of the sea", true, nil, "", stocking.Advise},
		{"in sea water it lives", "animal of the sea", true, sea, "", stocking.Advise},
		{"one that lives there already is in sea water", "animal of the sea", false, litresOf(300), "", stocking.Advise},
		{"a turtle outgrows a small tank", "turtle", true, litresOf(60), "", stocking.Hold},
		{"not a large one", "turtle", true, litresOf(400), "", stocking.Advise},
		{"nor beside fish", "turtle", true, litresOf(400), "cherry barb", stocking.Hold},
		{"dwarf frogs starve beside fish", "African dwarf frog", true, litresOf(180), "cherry barb", stocking.Hold},
		{"clawed frogs eat fish", "African clawed frog", true, litresOf(180), "cherry barb", stocking.Hold},
	} {
		a := animal(c.animal)
		s := stocking.Stock{Tank: c.tank, Wanted: stocking.DefaultWanted, Others: []stocking.Other{{Word: c.animal, Good: a.Kind, Animal: a, Incoming: c.joins}}}
		if c.beside != "" {
			s.Lines = []stocking.Line{stockingtest.Some(t, c.beside, 8)}
		}
		got := stockingtest.MustJudge(t, b, s)
		var d stocking.Decision
		for i := range got.Findings {
			if got.Findings[i].Other != nil {
				d = stocking.DecisionOf(got.Findings[i : i+1])
			}
		}
		if d != c.want {
			t.Errorf("%s: %v, want %v", c.ensures, d, c.want)
		}
	}
}

// TestNothingCountsForLessThanItsBound holds what additions rule species out by: no pairing with one that joins counts for less
// than is said of it beforehand, whatever is in the tank.
func TestNothingCountsForLessThanItsBound(t *testing.T) {
	b := testfish.Book(t)
	lessened := 0
	kinds := []species.ID{"neocaridina-davidi", "betta-splendens", "tateurndina-ocellicauda", "planorbella-duryi", "melanoides-tuberculata",
		"carinotetraodon-travancoricus", "botia-almorhae", "pethia-conchonius", "tanichthys-albonubes", "danio-rerio"}
	property := func(t *rapid.T) {
		kind := func(label string) int {
			i, ok := b.Snapshot.Index(rapid.SampledFrom(kinds).Draw(t, label))
			if !ok {
				t.Fatal("a kind is not in the catalogue")
			}
			return i
		}
		s := stocking.Stock{Tank: stockingtest.DrawTank(t), Wanted: stocking.DefaultWanted}
		for range rapid.IntRange(1, 3).Draw(t, "lines") {
			s.Lines = append(s.Lines, stocking.Line{Index: kind("kind"), Count: rapid.IntRange(1, 6).Draw(t, "fish"), Incoming: rapid.Bool().Draw(t, "incoming")})
		}
		base := stocking.NewAssessment(b, &s)
		joining := kind("joining")
		if slices.ContainsFunc(base.Lines, func(r stocking.Resident) bool { return r.Index == joining }) {
			return
		}
		score := rapid.Float64Range(0, 100).Draw(t, "score")
		with := s
		with.Lines = append(slices.Clone(s.Lines), stocking.Line{Index: joining, Incoming: true, Count: rapid.IntRange(1, 12).Draw(t, "joiners")})
		j := stocking.NewAssessment(b, &with)
		at := slices.IndexFunc(j.Lines, func(r stocking.Resident) bool { return r.Index == joining })
		level := conflict.LevelOf(score)
		least := base.LeastFor(b.Snapshot.At(joining), level)
		for k := range j.Lines {
			if k == at {
				continue
			}
			counts := j.LevelFor(min(k, at), max(k, at), score)
			if counts < level {
				lessened++
			}
			was := slices.IndexFunc(base.Lines, func(r stocking.Resident) bool {
				return r.Index == j.Lines[k].Index && stocking.CompareLines(&r.Line, &j.Lines[k].Line) == 0
			})
			if counts < least && !base.FeedsJoiners(was) {
				t.Fatalf("line %d counts %v of %v, the bound is %v", k, counts, level, least)
			}
		}
	}
	for tries := 0; tries < 20 && lessened == 0; tries++ { // one draw in some dozens counts for less
		rapid.Check(t, property)
	}
	if lessened == 0 {
		t.Error("no pairing counted for less than its level: this tests nothing")
	}
}
