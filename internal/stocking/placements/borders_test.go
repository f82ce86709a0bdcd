package placements

import (
	"testing"

	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
)

func TestAHundredLinesAndFiveHundredTanks(t *testing.T) {
	b := testfish.WorldOf(t, testfish.PlainFish("fish a"))
	for _, c := range []struct {
		arrivals, tanks int
		field           string
	}{{100, 500, ""}, {101, 1, "arrivals"}, {1, 501, "tanks"}} {
		err := validatePlacements(b, make([]Arrival, c.arrivals), stocking.DefaultWanted, make([]Adopter, c.tanks))
		wrong, _ := err.(*stocking.InputError)
		if (err != nil) != (c.field != "") || wrong != nil && wrong.Problems[0].Field != c.field {
			t.Errorf("%d arrivals and %d tanks: %v", c.arrivals, c.tanks, err)
		}
	}
}

func TestThreeTanksAreToldOfWhereNobodySaysHowMany(t *testing.T) {
	tanks := []Adopter{home(120, 50, 50), home(120, 50, 50), home(150, 50, 50), home(180, 60, 60), home(100, 50, 50)}
	p := mustPlace(t, testfish.Book(t), arriving(stockingtest.Some(t, "hoplisoma-panda", 8)), tanks, Options{})
	if got := p.Arrivals[0]; len(got.Options) != 3 || got.Fitting != 5 {
		t.Errorf("of %d tanks that fit %d are told of", got.Fitting, len(got.Options))
	}
}
