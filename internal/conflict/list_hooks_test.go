package conflict

import (
	"math"
	"reflect"
	"testing"

	"commensal/internal/species"

	"pgregory.net/rapid"
)

func TestInNumbersIsTheProfileOfThatMany(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpecies(t, "a")
		sp.Traits[species.FemalesPerMale] = band(t, "ratio", 1, 5)
		ind := Individual{Sex: species.Sex(rapid.IntRange(0, 2).Draw(t, "sex"))}
		n := rapid.IntRange(1, 40).Draw(t, "count")
		base := m.Profile(sp, ind)
		ind.Count = n
		got, want := base.InNumbers(n, n), m.Profile(sp, ind)
		for e := range end(numEnds) {
			if !reflect.DeepEqual(m.at(got, e), m.at(want, e)) {
				t.Fatalf("at end %d got %+v, want %+v", e, m.at(got, e), m.at(want, e))
			}
		}
		if got.Species != want.Species || got.Individual != want.Individual || !reflect.DeepEqual(got.missing, want.missing) {
			t.Fatalf("got %+v, want %+v", got, want)
		}
		company := n + rapid.IntRange(0, 40).Draw(t, "company")
		ind.Count = company
		line, rest := base.InNumbers(n, company), base.InNumbers(max(1, company-n), company)
		whole := m.Profile(sp, ind)
		if line.shortfall != whole.shortfall {
			t.Fatalf("shortfall %v in a company of %d, want %v", line.shortfall, company, whole.shortfall)
		}
		if sum := line.Ground() + rest.Ground(); company > n && math.Abs(sum-whole.Ground()) > 1e-9*whole.Ground() {
			t.Fatalf("ground of two lines %v, of the whole %v", sum, whole.Ground())
		}
	})
}

func TestBriefAgreesWithTheFullExplanation(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b := m.Profile(drawSpecies(t, "a"), Individual{}), m.Profile(drawSpecies(t, "b"), Individual{})
		c := ConditionsFor(a, b, drawTank(t))
		full := m.ExplainIn(a, b, c)
		score, summary := m.Brief(a, b, &c)
		full.Score.Extremes = [2]float64{}
		if score != full.Score || !reflect.DeepEqual(summary, full.Summary) {
			t.Fatalf("got %+v %+v, want %+v %+v", score, summary, full.Score, full.Summary)
		}
	})
}

func TestBestWaterIsTheLeastStressOfAllTogether(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		var list []*Profile
		for _, name := range []string{"a", "b", "c", "d"}[:rapid.IntRange(1, 4).Draw(t, "lines")] {
			list = append(list, m.Profile(drawSpecies(t, name), Individual{}))
		}
		p := species.Parameter(rapid.IntRange(0, species.NumParameters-1).Draw(t, "parameter"))
		best, stress, ok := BestWater(list, p)
		if !ok {
			t.Fatal("ranges are on record")
		}
		all := func(x float64) (s float64) {
			for _, l := range list {
				s += l.water[p].stress(x)
			}
			return s
		}
		if math.Abs(all(best)-stress) > 1e-9 {
			t.Fatalf("stress %v at %v, said to be %v", all(best), best, stress)
		}
		for x := -5.0; x < 45; x += 0.05 {
			if all(x) < stress-1e-9 {
				t.Fatalf("stress %v at %v is less than %v at %v", all(x), x, stress, best)
			}
		}
	})
}

func TestBestWaterOfTwoIsThatOfTheirSharedWindow(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawSpecies(t, "a"), drawSpecies(t, "b")
		list := []*Profile{m.Profile(a, Individual{}), m.Profile(b, Individual{})}
		windows, _, _ := sharedWater(list[0], list[1])
		for _, w := range windows {
			best, _, _ := BestWater(list, w.Parameter)
			if w.Tolerated.Low <= w.Tolerated.High {
				best = clamp(best, w.Tolerated.Low, w.Tolerated.High)
			}
			if math.Abs(best-w.Best) > 1e-9 {
				t.Fatalf("%v: %v for the list, %v for the pair", w.Parameter, best, w.Best)
			}
		}
	})
}

func TestTablesOfOtherPackagesAddToALanguage(t *testing.T) {
	fish := &species.Species{ScientificName: "A very long scientific name"}
	w := English(true).With(Table{Sentences: map[Code]string{"test.load": "{actor} in {volume} weighs {mass} after {age}, {long} later."}})
	s := Statement{Code: "test.load", Actor: fish, Evidence: []Evidence{
		{"volume", 100, "L"}, {"mass", 2, "kg"}, {"age", 1, "month"}, {"long", 3, "year"}}}
	want := "A very long scientific name in 100 L (26 US gal) weighs 2 kg (4.4 lb) after 1 month, 3 years later."
	if got := w.Say(s); got != want {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	if got := w.Short(s, 90); len([]rune(got)) > 90 {
		t.Errorf("%d characters: %q", len([]rune(got)), got)
	}
	if English(true).Say(s) != "" {
		t.Error("the added table changed the language itself")
	}
	if got := w.Say(Statement{Code: SpaceEnough, Evidence: []Evidence{{"tank_length", 60, "cm"}, {"tank_width", 30, "cm"}, {"cover", 0.5, "share"}}}); got == "" {
		t.Error("a statement without a species says nothing")
	}
}

func TestCrossesLeavesTradeFormsAside(t *testing.T) {
	a := &species.Species{ID: "a-a", ScientificName: "A a", Hybridises: []string{"A"}}
	b := &species.Species{ID: "a-b", ScientificName: "A b"}
	form := &species.Species{ID: "a-a-fancy", ScientificName: "A a", FormOf: "a-a"}
	if !Crosses(a, b) || !Crosses(b, a) || Crosses(a, form) || Crosses(a, a) {
		t.Error("kinds that cross are wrong")
	}
}
