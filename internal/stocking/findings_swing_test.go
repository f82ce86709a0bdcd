package stocking_test

import (
	"testing"

	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"
)

func swing(p species.Parameter, low, high float64) func(*stocking.Tank) {
	return func(t *stocking.Tank) {
		t.Swings.Days, t.Swings.Of[p] = 7, stocking.Swing{Low: low, High: high, Known: true}
	}
}

func TestSwingsAreNotedAndDecideNothing(t *testing.T) {
	runFindings(t, []findingCase{
		{ensures: "a wide swing is a note", lines: one(2), tank: swing(species.Temperature, 23, 26), code: stocking.WaterSwings, want: stocking.Note},
		{ensures: "an ordinary one is not", lines: one(2), tank: swing(species.Temperature, 23, 25.9), code: stocking.WaterSwings, absent: true},
		{ensures: "pH is looked at too", lines: one(2), tank: swing(species.PH, 6.4, 7.3), code: stocking.WaterSwings, want: stocking.Note},
		{ensures: "a spell beyond what it lives with is a note", lines: one(2), tank: swing(species.Temperature, 19, 25), code: stocking.SwungOutside, want: stocking.Note},
		{ensures: "also above", lines: one(2), tank: swing(species.PH, 7, 9.1), code: stocking.SwungOutside, want: stocking.Note},
		{ensures: "the edge itself is inside", lines: one(2), tank: swing(species.Temperature, 20, 25), code: stocking.SwungOutside, absent: true},
		{ensures: "water that still is beyond it is said once", lines: one(2), tank: func(t *stocking.Tank) {
			reading(species.Temperature, 19)(t)
			swing(species.Temperature, 19, 25)(t)
		}, code: stocking.SwungOutside, absent: true},
		{ensures: "without readings nothing is said", lines: one(2), code: stocking.WaterSwings, absent: true},
	})
	b := testfish.WorldOf(t, testfish.PlainFish("Fish a"))
	s := stocking.Stock{Lines: one(2), Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
	calm := stockingtest.MustJudge(t, b, s)
	swing(species.Temperature, 10, 35)(s.Tank)
	if swung := stockingtest.MustJudge(t, b, s); swung.Decision != calm.Decision {
		t.Errorf("a swing decides: %v, without it %v", swung.Decision, calm.Decision)
	}
	text := ""
	swung := stockingtest.MustJudge(t, b, s)
	for _, f := range swung.Findings {
		if f.Code() == stocking.HeavyTank {
			continue
		}
		text += wording.English(false).Sentence(f.Statement) + "\n"
	}
	want := "Of late the temperature was at 10 °C, outside what fish as tolerate for the long term: 20 °C to 30 °C.\n" +
		"The temperature ranged from 10 °C to 35 °C within 7 days: look for the cause.\n"
	if text != want {
		t.Errorf("got\n%swant\n%s", text, want)
	}
}
