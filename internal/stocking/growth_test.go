package stocking

import (
	"math"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking/testfish"

	"pgregory.net/rapid"
)

// grows is the course of a line of a world of one species at one pace.
func grows(t testing.TB, sp *species.Species, l Line, p pace) (course, bool) {
	t.Helper()
	s := Stock{Lines: []Line{l}}
	j := NewAssessment(testfish.WorldOf(t, sp), &s)
	return courseOf(&j.Lines[0], p)
}

func TestWhoGrowsUp(t *testing.T) {
	unknown := func(traits ...species.Trait) func(*species.Species) {
		return func(sp *species.Species) {
			for _, tr := range traits {
				sp.Traits[tr] = species.Value{}
			}
		}
	}
	for _, c := range []struct {
		ensures string
		fish    func(*species.Species)
		line    Line
		grows   bool
	}{
		{"a fish without length or age is adult", nil, Line{}, false},
		{"a short fish grows", nil, Line{LengthCM: 2}, true},
		{"a young fish grows", nil, Line{AgeMonth: 2}, true},
		{"a fish of nearly its adult length is adult", nil, Line{LengthCM: 4.9}, false},
		{"a fish longer than adults is adult", nil, Line{LengthCM: 9}, false},
		{"a fish of nearly its adult length that is too young to breed grows up still", nil, Line{LengthCM: 4.9, AgeMonth: 7}, true},
		{"an old fish is adult", nil, Line{AgeMonth: 100}, false},
		{"a full-grown fish too young to breed grows up still", nil, Line{LengthCM: 5, AgeMonth: 3}, true},
		{"a short old fish grows", nil, Line{LengthCM: 2, AgeMonth: 60}, true},
		{"without an adult length nothing can be said", unknown(species.Length), Line{LengthCM: 2}, false},
		{"without a growth coefficient a short fish grows up some time", unknown(species.GrowthK), Line{LengthCM: 2}, true},
		{"without a growth coefficient an age says nothing", unknown(species.GrowthK), Line{AgeMonth: 2}, false},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			sp := testfish.PlainFish("Fish a")
			if c.fish != nil {
				c.fish(sp)
			}
			if _, ok := grows(t, sp, c.line, usual); ok != c.grows {
				t.Errorf("grows: %v, want %v", ok, c.grows)
			}
		})
	}
}

func TestGrowthFollowsTheCurve(t *testing.T) {
	c, _ := grows(t, testfish.PlainFish("Fish a"), Line{LengthCM: 2}, usual)
	if got, want := c.lengthAt(0, 6), 5-3*math.Exp(-2*0.5); math.Abs(got-want) > 1e-12 {
		t.Errorf("after six months %v cm, want %v", got, want)
	}
	if got, want := c.age, 12*math.Log(5.0/3)/2; math.Abs(got-want) > 1e-9 {
		t.Errorf("age %v months, want %v", got, want)
	}
	if got, want := c.grown, 12*math.Log(3/(0.05*5))/2; math.Abs(got-want) > 1e-9 {
		t.Errorf("grown in %v months, want %v", got, want)
	}
	aged, _ := grows(t, testfish.PlainFish("Fish a"), Line{AgeMonth: 6}, usual)
	if got, want := aged.lengthAt(0, 0), 5*(1-math.Exp(-1)); math.Abs(got-want) > 1e-12 {
		t.Errorf("at six months %v cm, want %v", got, want)
	}
}

func TestTodayAFishIsAsLongAsTold(t *testing.T) {
	for p := fast; p <= slow; p++ {
		if c, _ := grows(t, testfish.PlainFish("Fish a"), Line{LengthCM: 4.9, AgeMonth: 7}, p); c.lengthAt(0, 0) != 4.9 {
			t.Errorf("pace %d: %v cm today", p, c.lengthAt(0, 0))
		}
	}
}

func TestTemperComesWithAgeAndIsFullAtMaturity(t *testing.T) {
	c, _ := grows(t, testfish.PlainFish("Fish a"), Line{LengthCM: 1, AgeMonth: 2}, usual)
	for month, want := range map[float64]float64{0: 0.25 + 0.75*2/8, 2: 0.25 + 0.75*4/8, 6: 1, 60: 1} {
		if got := c.temperAt(month); math.Abs(got-want) > 1e-12 {
			t.Errorf("month %v: temper %v, want %v", month, got, want)
		}
	}
}

func TestSexesGrowToTheirOwnLengths(t *testing.T) {
	sp := testfish.PlainFish("Fish a")
	sp.MaleTraits[species.Length], sp.FemaleTraits[species.Length] = testfish.Exactly(8), testfish.Exactly(4)
	untold, _ := grows(t, sp, Line{LengthCM: 2}, usual)
	if m, f := untold.lengthAt(int(species.Male), 120), untold.lengthAt(int(species.Female), 120); m != 8 || f != 4 {
		t.Errorf("untold: males %v, females %v", m, f)
	}
	told, _ := grows(t, sp, Line{LengthCM: 2, Sex: species.Female}, usual)
	for sex := range told.adult {
		if got := told.lengthAt(sex, 120); got != 4 {
			t.Errorf("females: sex %d grows to %v", sex, got)
		}
	}
}

func TestCoursesNeverTurnBack(t *testing.T) {
	model := testfish.WorldOf(t, testfish.PlainFish("Fish b")).Model
	rapid.Check(t, func(t *rapid.T) {
		sp := testfish.PlainFish("Fish a")
		adult := rapid.Float64Range(2, 150).Draw(t, "adult")
		sp.Traits[species.Length] = testfish.Exactly(adult)
		k := rapid.Float64Range(0.03, 15).Draw(t, "k")
		sp.Traits[species.GrowthK] = testfish.Known(0.8*k, k, 1.3*k)
		ripe := rapid.Float64Range(0.5, 240).Draw(t, "maturity")
		sp.Traits[species.Maturity] = testfish.Known(0.7*ripe, ripe, 1.5*ripe)
		l := Line{LengthCM: rapid.Float64Range(0.1, adult).Draw(t, "length")}
		if rapid.Bool().Draw(t, "aged") {
			l.AgeMonth = rapid.Float64Range(0.1, 300).Draw(t, "age")
		}
		r := Resident{Line: l, Species: sp, Profile: model.Profile(sp, conflict.Individual{})}
		for p := fast; p <= slow; p++ {
			c, ok := courseOf(&r, p)
			if !ok {
				continue
			}
			early := rapid.Float64Range(0, 200).Draw(t, "early")
			late := early + rapid.Float64Range(0, 200).Draw(t, "later")
			a, b := c.lengthAt(0, early), c.lengthAt(0, late)
			if a > b+1e-9 || a < l.LengthCM || b > max(adult, l.LengthCM) {
				t.Fatalf("length %v at %v, %v at %v", a, early, b, late)
			}
			if x, y := c.temperAt(early), c.temperAt(late); x > y || x < youngTemper || y > 1 {
				t.Fatalf("temper %v at %v, %v at %v", x, early, y, late)
			}
			if c.temperAt(c.grown) != 1 || c.lengthAt(0, c.grown) != adult {
				t.Fatalf("not adult when grown: %+v", c)
			}
		}
	})
}

func TestTheEdgeOfTheFirstYear(t *testing.T) {
	f := &future{Assessment: &Assessment{Terms: Terms{Wanted: conflict.Moderate}}}
	for _, c := range []struct {
		ensures      string
		level, today conflict.Level
		month        int
		want         Decision
	}{
		{"above wanted in the last month of the first year holds", conflict.High, conflict.Low, 12, Hold},
		{"a month later it is advice", conflict.High, conflict.Low, 13, Advise},
		{"severe later than that is advice too", conflict.Severe, conflict.Moderate, MaxMonths, Advise},
		{"moderate is advice", conflict.Moderate, conflict.Low, 1, Advise},
		{"what the check says already adds nothing", conflict.High, conflict.High, 1, Proceed},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			if got := f.decisionAhead(c.level, c.today, c.month); got != c.want {
				t.Errorf("%v, want %v", got, c.want)
			}
		})
	}
	f.Wanted = conflict.High
	if got := f.decisionAhead(conflict.High, conflict.Low, 3); got != Advise {
		t.Errorf("high is wanted, yet it leads to %v", got)
	}
}

func TestMonthsAreDatedForTenYears(t *testing.T) {
	var g grower
	for after, want := range map[float64]int{-3: 0, 0.2: 1, 119.5: 120, 120: 120, 120.5: Beyond} {
		if m := g.months(func(*course) float64 { return after }); m.Typical != want {
			t.Errorf("after %v months: %d, want %d", after, m.Typical, want)
		}
	}
	if Beyond != 121 {
		t.Errorf("beyond is month %d", Beyond)
	}
}
