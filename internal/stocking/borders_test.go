package stocking

import (
	"math"
	"slices"
	"testing"

	"commensal/internal/budget"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking/testfish"
	"commensal/internal/waterchem"
)

// Where the fixed numbers of the rules draw their lines: on either side of each stands a case. Common practice,
// no source.

// listOf assesses a list of plain fish, each changed by one of the functions, in a tank or in none.
func listOf(t *testing.T, tank *Tank, changes ...func(*species.Species)) *Assessment {
	t.Helper()
	var kinds []*species.Species
	var lines []Line
	for i, change := range changes {
		kinds = append(kinds, testfish.Altered("fish "+string(rune('a'+i)), change))
		lines = append(lines, Line{Index: i, Count: 2, Incoming: true})
	}
	return NewAssessment(testfish.WorldOf(t, kinds...), &Stock{Lines: lines, Tank: tank, Wanted: DefaultWanted})
}

func plain(*species.Species) {}

func long(cm float64, more ...func(*species.Species)) func(*species.Species) {
	return func(sp *species.Species) {
		sp.Traits[species.Length] = testfish.Exactly(cm)
		for _, change := range more {
			change(sp)
		}
	}
}

func salty(ppt float64) *Tank {
	tank := TankOf(conflict.TankSize{LengthCM: 120, WidthCM: 50, HeightCM: 50})
	tank.Reading[species.Salinity] = conflict.Reading{Value: ppt, Known: true}
	return tank
}

// told are the codes that a rule adds.
func told(j *Assessment, rule func(*finder)) (codes []Code) {
	f := &finder{Assessment: j}
	rule(f)
	for i := range f.out {
		codes = append(codes, f.out[i].Code())
	}
	return codes
}

func TestWhatIsNotSoldWithoutATank(t *testing.T) {
	needs := func(low, typical float64) func(*species.Species) {
		return func(sp *species.Species) { sp.Traits[species.TankLength] = testfish.Known(low, typical, 300) }
	}
	venomous := func(sp *species.Species) { sp.Cautions = []species.Caution{species.Venomous} }
	for _, c := range []struct {
		kind func(*species.Species)
		want []Code
	}{
		{needs(180, 200), []Code{GiantUnhoused}}, {needs(178, 200), []Code{TankAsked}},
		{needs(60, 100), []Code{TankAsked}}, {needs(60, 98), nil},
		{long(16, venomous), []Code{DangerousUnseen}}, {long(15.5, venomous), nil},
	} {
		j := listOf(t, nil, c.kind)
		if got := told(j, func(f *finder) { f.housing(0) }); !slices.Equal(got, c.want) {
			r := &j.Lines[0]
			need, _ := r.Band(species.TankLength)
			t.Errorf("of %v cm for a tank of %v: %v, want %v", r.typical(species.Length, 0), need, got, c.want)
		}
	}
}

func TestAnimalsOfOtherWater(t *testing.T) {
	turtle, coral := &Other{Good: species.GoodTurtle}, &Other{Good: species.GoodMarine, Incoming: true}
	for _, c := range []struct {
		tank *Tank
		of   *Other
		want Severity
	}{
		{&Tank{VolumeL: 149}, turtle, Stop}, {&Tank{VolumeL: 151}, turtle, Advice},
		{salty(24), coral, Stop}, {salty(25), coral, Advice},
	} {
		f := &finder{Assessment: listOf(t, c.tank)}
		if got := f.otherAnimal(c.of); got != c.want {
			t.Errorf("%s in %v l of %v ppt: %v, want %v", c.of.Good, c.tank.Volume(), c.tank.Reading[species.Salinity].Value, got, c.want)
		}
	}
}

func TestStrainsOfWaterAddUp(t *testing.T) {
	for _, c := range []struct {
		celsius, ph float64
		want        Severity
	}{
		{28.3, 8.4, Note},   // not half way to what it bears, in both
		{28.8, 8.6, Advice}, // more than half way in both
		{28.8, 7, Note},
	} {
		tank := salty(0)
		tank.Reading[species.Temperature], tank.Reading[species.PH] = conflict.Reading{Value: c.celsius, Known: true}, conflict.Reading{Value: c.ph, Known: true}
		if got := listOf(t, tank, plain).ReadingsOf(0)[species.Temperature]; got != c.want {
			t.Errorf("%v °C at pH %v: %v, want %v", c.celsius, c.ph, got, c.want)
		}
	}
}

func TestWhatAmmoniaAndNitrateAskFor(t *testing.T) {
	for _, c := range []struct {
		rise      float64 // mg/L a day
		severity  Severity
		postpones bool
	}{{0.029, Note, false}, {0.031, Advice, false}, {0.49, Advice, false}, {0.51, Advice, true}} {
		j := listOf(t, salty(0), plain)
		j.Load = &Load{Ammonia: &AmmoniaLoad{DailyRise: waterchem.Estimate{Typical: c.rise}}}
		f := &finder{Assessment: j}
		f.loads()
		if len(f.out) != 1 || f.out[0].Code() != FilterImmature || f.out[0].Severity != c.severity || f.out[0].Postpones != c.postpones {
			t.Errorf("a rise of %v is told as %+v", c.rise, f.out)
		}
	}
	f := &finder{Assessment: listOf(t, salty(0), plain)}
	for source, want := range map[float64]float64{39.5: 20, 40: 20, 38: 10} { // as if a milligram a litre were left at least
		if got := f.timesLarger(&NitrateLoad{Source: source, WeeklyRise: waterchem.Estimate{Typical: 10}}); math.Abs(got-want) > 1e-9 {
			t.Errorf("with %v mg/L in the new water %v times the water is asked for, want %v", source, got, want)
		}
	}
}

// Mass goes by the cube of the length.
func TestMassIsSpreadAsLengthIs(t *testing.T) {
	exact := MassOf(&listOf(t, nil, long(5)).Lines[0])
	spread := MassOf(&listOf(t, nil, func(sp *species.Species) { sp.Traits[species.Length] = testfish.Known(1, 5, 25) }).Lines[0])
	for _, ratio := range []float64{spread.High / spread.Typical, spread.Typical / spread.Low} {
		if ratio < 110 || ratio > 200 { // 125 by length alone, and what the relation is unsure of
			t.Errorf("five times the length is %v times the mass, of %v and %v", ratio, spread, exact)
		}
	}
}

func TestDwarfShrimpsBesideASmallFish(t *testing.T) {
	shrimp := func(sp *species.Species) { sp.BodyForm = species.ShrimpForm }
	for _, c := range []struct {
		shrimps, fish float64
		want          bool
	}{{3.4, 7.9, true}, {3.6, 7.9, false}, {3.4, 8.2, false}} {
		j := listOf(t, nil, long(c.shrimps, shrimp), long(c.fish))
		if got := picksAt(&j.Lines[0], &j.Lines[1]); got != c.want {
			t.Errorf("shrimps of %v cm beside a fish of %v cm: %v", c.shrimps, c.fish, got)
		}
	}
}

func TestShoalsOfTheBottomLieOnOneAnother(t *testing.T) {
	lives := func(low float64) *Resident {
		return &Resident{Species: testfish.Altered("loach", func(sp *species.Species) {
			sp.Social, sp.Zones.Share = species.Group, [species.NumZones]float64{0, 1 - low, low}
		})}
	}
	if half, less := piled(lives(0.5), species.Bottom), piled(lives(0.45), species.Bottom); half >= 1 || less != 1 {
		t.Errorf("half of their time on the ground they take %v of their room there, less of it %v", half, less)
	}
}

func TestWhatStandsAgainstALineIsNoLine(t *testing.T) {
	if OwnKind >= 0 || TheTank >= 0 || OwnKind == TheTank {
		t.Errorf("its own kind is %d, the tank %d", OwnKind, TheTank)
	}
	if numPaces != len([]pace{fast, usual, slow}) {
		t.Errorf("%d paces", numPaces)
	}
}

func TestBisectionFindsTheLastFigure(t *testing.T) {
	if got := LastBelow(0, 6e7, func(x float64) bool { return x >= math.Pi }); got >= math.Pi || math.Pi-got > 1e-6 {
		t.Errorf("%v", got)
	}
}

func TestWhoseSexIsAsked(t *testing.T) {
	for _, c := range []struct {
		grade float64
		asked bool
	}{{0.6, true}, {0.57, false}} {
		j := listOf(t, nil, func(sp *species.Species) {
			sp.Social, sp.Traits[species.AggressionOwn] = species.Harem, testfish.Exactly(c.grade)
		})
		if got := (&asker{j, nil}).sex(); (got != nil) != c.asked {
			t.Errorf("of a kind whose males fight by %v: %v", c.grade, got)
		}
	}
}

// At a counter two questions are asked, however many there are.
func TestNoMoreThanTwoQuestions(t *testing.T) {
	j := listOf(t, nil, func(sp *species.Species) { sp.Shape = "livebearer" })
	a := asker{j, []Finding{
		{Severity: Advice, Statement: conflict.Statement{Code: NameNotFound}}, {Severity: Stop, Statement: conflict.Statement{Code: LawUnknown}},
	}}
	for _, q := range []*Question{a.name(), a.law(), a.theTank(), a.sex()} {
		if q == nil {
			t.Fatal("not four questions to choose from")
		}
	}
	if got := j.ask(a.told); len(got) != 2 || got[0].Statement.Code != AskName || got[1].Statement.Code != AskLaw {
		t.Errorf("asked %+v", got)
	}
}

func TestNoTankLongerThanAHomeHoldsIsRecommended(t *testing.T) {
	for _, c := range []struct {
		needs   float64
		offered bool
	}{{235, true}, {280, false}} {
		j := listOf(t, TankOf(conflict.TankSize{LengthCM: 200, WidthCM: 70, HeightCM: 60}), func(sp *species.Species) {
			sp.Traits[species.TankLength], sp.Traits[species.TankWidth] = testfish.Exactly(c.needs), testfish.Exactly(60)
		})
		check, err := Judge(j.Book, Stock{Lines: []Line{{Count: 2}}, Tank: j.Tank, Wanted: DefaultWanted})
		if err != nil {
			t.Fatal(err)
		}
		offered, short := false, false
		for i := range check.Reasons {
			f := &check.Reasons[i]
			short = short || isTankSize(f.Code())
			offered = offered || f.Remedy != nil && f.Remedy.Kind == LargerTank
		}
		if !short || offered != c.offered {
			t.Errorf("a kind that needs %v cm in 200: too short %v, a larger tank offered %v", c.needs, short, offered)
		}
	}
}

// What one line and one tank may say, and what is a slip.
func TestValuesBeyondAnyAquariumAreSlips(t *testing.T) {
	b := testfish.WorldOf(t, testfish.PlainFish("fish a"))
	cover := func(change func(*Tank)) func(*Stock) {
		return func(s *Stock) { s.Tank = salty(0); change(s.Tank) }
	}
	line := func(change func(*Line)) func(*Stock) { return func(s *Stock) { change(&s.Lines[0]) } }
	nitrate := func(v float64) func(*Stock) { return cover(func(k *Tank) { k.SourceNitrate = &v }) }
	many := func(n int) func(*Stock) { return func(s *Stock) { s.Lines = slices.Repeat(s.Lines, n) } }
	for _, c := range []struct {
		field       string
		sound, slip func(*Stock)
	}{
		{"count", line(func(l *Line) { l.Count = 10000 }), line(func(l *Line) { l.Count = 10001 })},
		{"length_cm", line(func(l *Line) { l.LengthCM = 500 }), line(func(l *Line) { l.LengthCM = 501 })},
		{"length_cm", line(func(l *Line) { l.LengthCM = 0.1 }), line(func(l *Line) { l.LengthCM = 0.09 })},
		{"age_months", line(func(l *Line) { l.AgeMonth = 1440 }), line(func(l *Line) { l.AgeMonth = 1441 })},
		{"months_observed", line(func(l *Line) { l.MonthsObserved = 1200 }), line(func(l *Line) { l.MonthsObserved = 1201 })},
		{"weight", line(func(l *Line) { l.Weight = 1e6 }), line(func(l *Line) { l.Weight = 1e6 + 1 })},
		{"length", cover(func(k *Tank) { k.LengthCM = 10000 }), cover(func(k *Tank) { k.LengthCM = 10001 })},
		{"volume_l", cover(func(k *Tank) { k.VolumeL = 1e7 }), cover(func(k *Tank) { k.VolumeL = 1e7 + 1 })},
		{"turnover", cover(func(k *Tank) { k.TurnoverPerHour = 1000 }), cover(func(k *Tank) { k.TurnoverPerHour = 1001 })},
		{"source_nitrate", nitrate(1000), nitrate(1001)},
		{"lines", many(200), many(201)},
	} {
		check := func(change func(*Stock)) error {
			s := Stock{Lines: []Line{{Count: 1}}}
			change(&s)
			return s.Validate(b)
		}
		if err := check(c.sound); err != nil {
			t.Errorf("%s: %v", c.field, err)
		}
		err, ok := check(c.slip).(*InputError)
		if !ok || len(err.Problems) != 1 || err.Problems[0].Field != c.field {
			t.Errorf("%s beyond the border: %v", c.field, err)
		}
	}
}

// An absurd list is taken to eat a tonne a day and to raise nitrate by a hundred grams in a litre, and is judged all the same.
func TestAnAbsurdLoadIsHeldAtABorder(t *testing.T) {
	j := listOf(t, nil, long(400))
	check, err := Judge(j.Book, Stock{Lines: []Line{{Count: 10000}}, Tank: salty(0), Wanted: DefaultWanted})
	if err != nil {
		t.Fatal(err)
	}
	l := check.Load
	if l == nil || l.Nitrate == nil || l.Feed.Typical != 1e6 || l.Nitrate.WeeklyRise.Typical != 1e5 || check.Decision != Hold {
		t.Errorf("%v: %+v", check.Decision, l)
	}
}

// A tank of which the volume alone is known may be a third higher or a seventh longer than the customary one, and is not much
// too small for what it hardly misses.
func TestATankOfOneVolumeMayBeLonger(t *testing.T) {
	tank := TankOf(conflict.TankSize{LengthCM: 100, WidthCM: 100, HeightCM: 50})
	tank.ShapeTaken = true
	known := TankOf(conflict.TankSize{LengthCM: 100, WidthCM: 100, HeightCM: 50})
	for _, c := range []struct {
		tank         *Tank
		trait        species.Trait
		low, typical float64
		want         Shortage
	}{
		{tank, species.TankHeight, 30, 66, Enough}, {tank, species.TankHeight, 30, 69, BelowCustomary},
		{tank, species.TankLength, 60, 115, Enough}, {tank, species.TankLength, 60, 118, BelowCustomary},
		{tank, species.TankLength, 125, 200, BelowCustomary}, {tank, species.TankLength, 130, 200, BelowLeast},
		{known, species.TankLength, 60, 100, Enough}, {known, species.TankLength, 60, 101, BelowCustomary},
		{known, species.TankLength, 110, 200, BelowCustomary}, {known, species.TankLength, 113, 200, BelowLeast},
	} {
		j := listOf(t, nil, func(sp *species.Species) {
			sp.Traits[species.TankWidth] = testfish.Exactly(20)
			sp.Traits[c.trait] = testfish.Known(c.low, c.typical, c.typical)
		})
		short := c.tank.ShortFor(&j.Lines[0])
		got := short.Length
		if c.trait == species.TankHeight {
			got = short.Height
		}
		if got != c.want {
			t.Errorf("%s of %v to %v in %+v: %v, want %v", c.trait, c.low, c.typical, c.tank, got, c.want)
		}
	}
}

// What a list costs of a budget: one sum for the list, one for each line, and one for each two of them, in pairings scored.
func TestWhatJudgingCosts(t *testing.T) {
	for lines, want := range map[int]int64{1: 60 + 10, 2: 60 + 20 + 2, 5: 60 + 50 + 20} {
		j := listOf(t, nil, slices.Repeat([]func(*species.Species){plain}, lines)...)
		s := Stock{Wanted: DefaultWanted, Budget: budget.New(1e9)}
		for i := range lines {
			s.Lines = append(s.Lines, Line{Index: i, Count: 1})
		}
		if _, err := Judge(j.Book, s); err != nil || s.Budget.Spent() != want {
			t.Errorf("%d lines cost %d, want %d: %v", lines, s.Budget.Spent(), want, err)
		}
	}
}
