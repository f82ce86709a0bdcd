package conflict

import (
	"testing"

	"commensal/internal/species"

	"pgregory.net/rapid"
)

// drawYouth draws a legal youth, with every length given.
func drawYouth(t *rapid.T) Youth {
	y := Youth{Unripe: rapid.Float64Range(0, 1).Draw(t, "unripe")}
	for i := range y.LengthCM {
		y.LengthCM[i] = rapid.Float64Range(1, 60).Draw(t, "length")
	}
	return y
}

func TestAYoungFishIsNeverFiercerThanAnAdultOfItsLength(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b, tank := drawSpecies(t, "a"), drawSpecies(t, "b"), drawTank(t)
		young := drawYouth(t)
		riper := young
		riper.Unripe *= rapid.Float64Range(0, 1).Draw(t, "riper")
		other := m.Profile(b, Individual{})
		younger, older := m.Profile(a, Individual{Youth: young}), m.Profile(a, Individual{Youth: riper})
		c := ConditionsFor(younger, other, tank)
		if x, y := m.Value(younger, other, &c), m.Value(older, other, &c); x > y+tiny {
			t.Fatalf("unripe %v scores %v, riper %v only %v", young.Unripe, x, riper.Unripe, y)
		}
		if got, want := m.Profile(a, Individual{LengthCM: 9, Count: 3}).GroundAs(young), m.Profile(a, Individual{Youth: young, Count: 3}).Ground(); got != want {
			t.Fatalf("ground as young %v, of the young %v", got, want)
		}
		if x, y := younger.Ground(), older.Ground(); x > y+tiny {
			t.Fatalf("ground falls from %v to %v as it ripens", x, y)
		}
	})
}

func TestARipeFishOfItsAdultLengthsIsAnAdult(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b, tank := drawSpecies(t, "a"), drawSpecies(t, "b"), drawTank(t)
		if !a.Traits[species.Length].Known() {
			t.Skip("no adult length")
		}
		var y Youth
		for sex := range y.LengthCM {
			y.LengthCM[sex] = a.Trait(species.Length, species.Sex(sex)).Typical
		}
		adult, grown, other := m.Profile(a, Individual{}), m.Profile(a, Individual{Youth: y}), m.Profile(b, Individual{})
		c := ConditionsFor(adult, other, tank)
		if x, y := m.Value(adult, other, &c), m.Value(grown, other, &c); x != y {
			t.Fatalf("adult scores %v, full-grown youth %v", x, y)
		}
	})
}

func TestAToldLengthGoesBeforeTheLengthsOfYouth(t *testing.T) {
	ind := Individual{LengthCM: 7, Youth: Youth{LengthCM: [3]float64{3, 4, 5}}}
	if got := ind.length(species.Male); got != 7 {
		t.Errorf("length %v, want the told 7", got)
	}
	ind.LengthCM = 0
	for sex, want := range [3]float64{3, 4, 5} {
		if got := ind.length(species.Sex(sex)); got != want {
			t.Errorf("sex %d: length %v, want %v", sex, got, want)
		}
	}
}

func TestUnripeOutsideItsRangeCountsAsTheNearestEnd(t *testing.T) {
	for _, c := range []struct{ unripe, ripe float64 }{{-1, 1}, {0, 1}, {0.25, 0.75}, {1, 0}, {9, 0}} {
		if got := (Youth{Unripe: c.unripe}).ripe(); got != c.ripe {
			t.Errorf("unripe %v: ripe %v, want %v", c.unripe, got, c.ripe)
		}
	}
}
