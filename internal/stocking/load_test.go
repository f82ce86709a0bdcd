package stocking_test

import (
	"math"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/waterchem"

	"pgregory.net/rapid"
)

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(1, math.Abs(a), math.Abs(b)) }

// TestTheLoadFollowsThePublishedRelations recomputes each figure step by step, with the
// formulas of the sources written out, for six plain fish in 255 L at 25 °C.
func TestTheLoadFollowsThePublishedRelations(t *testing.T) {
	c := stockingtest.MustJudge(t, testfish.WorldOf(t, testfish.PlainFish("Fish a")), stocking.Stock{Lines: one(6), Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted})
	l := c.Load
	mass := math.Pow(10, -1.95+3.04*math.Log10(5))                           // Froese et al. 2014, fusiform
	resting := math.Exp(15.7-5020/298.15) * 31.998 * math.Pow(mass/50, 0.79) // Clarke & Johnston 1999, mg/h
	feed := 6 * resting * 24 * 13.56 / 14000 * 560 / 364                     // g/d
	tan := feed * 0.45 * 0.092                                               // Timmons & Ebeling, g N/d
	rise := tan * 1000 * 7 / 255 * 62.0049 / 14.0067                         // mg/L NO3 a week
	saturation, _ := waterchem.OxygenSaturation(25, 0.5)                     // Benson & Krause 1984
	demand := 6*resting*560/364 + tan*4.33*1000/24                           // mg/h, fish and filter
	for _, v := range []struct {
		what      string
		got, want float64
	}{
		{"body mass", l.BodyMass.Typical, 6 * mass},
		{"feed", l.Feed.Typical, feed},
		{"ammonia nitrogen", l.TAN.Typical, tan},
		{"oxygen of the fish", l.FishOxygen.Typical, 6 * resting * 560 / 364},
		{"oxygen of the filter", l.NitrificationOxygen.Typical, tan * 4.33},
		{"alkalinity", l.NitrificationAlkalinity.Typical, tan / 14.0067 * 1.97 * 100.0869 / 2},
		{"water", l.WaterL, 255},
		{"rise of nitrate", l.Nitrate.WeeklyRise.Typical, rise},
		{"nitrate before the change", l.Nitrate.Before.Typical, rise / 0.25},
		{"nitrate after the change", l.Nitrate.After.Typical, rise / 0.25 * 0.75},
		{"changes to settle", float64(l.Nitrate.ChangesToSettle), 11},
		{"share to hold", l.Nitrate.ShareToHold.Typical, rise / 40},
		{"saturation", l.Saturation, saturation},
		{"dissolved oxygen", l.Oxygen.Dissolved, saturation * 255},
		{"hours", l.Oxygen.Hours.Typical, saturation * 255 / demand},
		{"left after an hour", l.Oxygen.AfterHour.Typical, 100 * (1 - demand/(saturation*255))},
	} {
		if !near(v.got, v.want) {
			t.Errorf("%s: got %v, want %v", v.what, v.got, v.want)
		}
	}
	if l.TemperatureTaken || l.Nitrate.SourceTaken || l.Ammonia != nil {
		t.Errorf("something given was taken for granted: %+v", l)
	}
}

func TestLoadFindings(t *testing.T) {
	big := func(sp *species.Species) { sp.Traits[species.Length] = testfish.Exactly(30) }
	change := func(v float64) func(*stocking.Tank) { return func(t *stocking.Tank) { t.WeeklyChange = &v } }
	runFindings(t, []findingCase{
		{ensures: "a new filter is a note for two small fish", lines: one(2), tank: func(t *stocking.Tank) { t.FilterMature = yesNo(false) }, code: stocking.FilterImmature, want: stocking.Note, remedy: stocking.MatureFilter},
		{ensures: "a new filter is advice for a tankful", lines: one(30), tank: func(t *stocking.Tank) { t.FilterMature = yesNo(false) }, code: stocking.FilterImmature, want: stocking.Advice, remedy: stocking.MatureFilter},
		{ensures: "a new filter postpones a crowd that is about to join", lines: incoming(200), tank: func(t *stocking.Tank) { t.FilterMature = yesNo(false) }, code: stocking.FilterImmature, want: stocking.Advice, remedy: stocking.MatureFilter},
		{ensures: "a filter of unknown age is not", lines: one(2), tank: func(t *stocking.Tank) { t.FilterMature = nil }, code: stocking.FilterImmature, absent: true},
		{ensures: "no water change is advice", lines: one(2), tank: change(0), code: stocking.NoWaterChange, want: stocking.Advice, remedy: stocking.ChangeWater},
		{ensures: "too small a change is advice", fish: big, lines: one(2), tank: change(0.1), code: stocking.NitrateHigh, want: stocking.Advice, remedy: stocking.ChangeWater},
		{ensures: "a large change is not", fish: big, lines: one(2), tank: change(0.6), code: stocking.NitrateHigh, absent: true},
		{ensures: "a load that takes most of the water weekly is advice", fish: big, lines: one(4), code: stocking.LoadHeavy, want: stocking.Advice, remedy: stocking.LargerTank},
		{ensures: "a load that no weekly change holds is a stop", fish: big, lines: one(20), code: stocking.LoadTooHeavy, want: stocking.Stop, remedy: stocking.LargerTank},
		{ensures: "oxygen that lasts too short is advice", fish: big, lines: one(20), code: stocking.OxygenThin, want: stocking.Advice, remedy: stocking.LargerTank},
		{ensures: "a few small fish leave enough", lines: one(6), code: stocking.OxygenThin, absent: true},
		{ensures: "without a tank nothing is said about one", fish: big, lines: one(40), noTank: true, code: stocking.LoadTooHeavy, absent: true},
	})
}

func TestAmmoniaIsSaidOnlyForAKnownNewFilter(t *testing.T) {
	tank := stockingtest.GoodTank()
	tank.FilterMature = yesNo(false)
	c := stockingtest.MustJudge(t, testfish.WorldOf(t, testfish.PlainFish("Fish a")), stocking.Stock{Lines: one(6), Tank: tank, Wanted: stocking.DefaultWanted})
	a := c.Load.Ammonia
	if a == nil || !a.PHKnown || !near(a.DailyRise.Typical, c.Load.TAN.Typical*1000/255) {
		t.Fatalf("ammonia %+v", a)
	}
	fraction, err := waterchem.UnionizedFraction(7, 25) // Emerson et al. 1975
	if err != nil || !near(a.Fraction, fraction) || !near(a.Unionized.Typical, fraction*a.DailyRise.Typical) {
		t.Errorf("un-ionized share %v, want %v", a.Fraction, fraction)
	}
	tank.Reading[species.PH].Known = false
	c = stockingtest.MustJudge(t, testfish.WorldOf(t, testfish.PlainFish("Fish a")), stocking.Stock{Lines: one(6), Tank: tank, Wanted: stocking.DefaultWanted})
	if c.Load.Ammonia.PHKnown || c.Load.Ammonia.Fraction != 0 {
		t.Errorf("without pH nothing is said about the un-ionized part: %+v", c.Load.Ammonia)
	}
}

func TestTheLoadRisesWithEveryFishAndItsBandsHold(t *testing.T) {
	b := testfish.Book(t)
	ordered := func(e waterchem.Estimate) bool { return 0 <= e.Low && e.Low <= e.Typical && e.Typical <= e.High }
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 5)
		before, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		s.Lines = append(s.Lines[:len(s.Lines):len(s.Lines)], stockingtest.DrawLine(t, b, "extra"))
		after, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		l, m := before.Load, after.Load
		if l == nil || m == nil {
			t.Fatal("no load")
		}
		for _, e := range []waterchem.Estimate{l.BodyMass, l.Feed, l.TAN, l.FishOxygen, l.NitrificationOxygen, l.NitrificationAlkalinity} {
			if !ordered(e) {
				t.Fatalf("band %+v", e)
			}
		}
		if m.BodyMass.Typical < l.BodyMass.Typical || m.Feed.High < l.Feed.High || m.TAN.Low < l.TAN.Low {
			t.Fatal("a further fish made the load lighter")
		}
		if l.Nitrate != nil && (!ordered(l.Nitrate.ShareToHold) || !ordered(l.Nitrate.Before) || !ordered(l.Oxygen.Hours) || !ordered(l.Oxygen.AfterHour)) {
			t.Fatalf("bands %+v %+v", *l.Nitrate, *l.Oxygen)
		}
	})
}

// inVolume judges ten plain fish of 12 cm in a tank of so many litres.
func inVolume(t *testing.T, litres float64) stocking.Check {
	b := testfish.WorldOf(t, testfish.Altered("Fish a", func(sp *species.Species) { sp.Traits[species.Length] = testfish.Exactly(12) }))
	tank := stockingtest.GoodTank()
	tank.LengthCM, tank.WidthCM, tank.HeightCM, tank.VolumeL = 0, 0, 0, litres
	return stockingtest.MustJudge(t, b, stocking.Stock{Lines: one(10), Tank: tank, Wanted: stocking.DefaultWanted})
}

func TestOxygenIsThinUnderFourHours(t *testing.T) {
	perLitre := inVolume(t, 100).Load.Oxygen.Hours.Typical / 100 // the demand stays as it is
	for hours, thin := range map[float64]bool{3.9: true, 4.1: false} {
		c := inVolume(t, hours/perLitre)
		if got := stockingtest.FindingOf(&c, stocking.OxygenThin) != nil; got != thin || !near(c.Load.Oxygen.Hours.Typical, hours) {
			t.Errorf("%v h: thin %v", c.Load.Oxygen.Hours.Typical, got)
		}
	}
}

func TestALoadIsHeavyThatTakesMoreThanHalfOfTheWaterEveryWeek(t *testing.T) {
	// With source water free of nitrate the share that holds the ceiling is rise over ceiling.
	litres := inVolume(t, 100).Load.Nitrate.WeeklyRise.Typical * 100 / stocking.NitrateCeiling
	for share, heavy := range map[float64]bool{0.48: false, 0.52: true} {
		c := inVolume(t, litres/share)
		if got := stockingtest.FindingOf(&c, stocking.LoadHeavy) != nil; got != heavy || !near(c.Load.Nitrate.ShareToHold.Typical, share) {
			t.Errorf("a share of %v: heavy %v", c.Load.Nitrate.ShareToHold.Typical, got)
		}
	}
}

func TestTheLoadWithoutAnyTemperatureIsThatOfAnOrdinaryTank(t *testing.T) {
	b := testfish.WorldOf(t, testfish.Altered("Fish a", func(sp *species.Species) { sp.Water[species.Temperature] = species.WaterRange{} }))
	tank := stockingtest.GoodTank()
	tank.Reading[species.Temperature] = conflict.Reading{}
	c := stockingtest.MustJudge(t, b, stocking.Stock{Lines: one(6), Tank: tank, Wanted: stocking.DefaultWanted})
	if c.Load.TemperatureC != 25 || !c.Load.TemperatureTaken {
		t.Errorf("%v °C, taken %v", c.Load.TemperatureC, c.Load.TemperatureTaken)
	}
}

func TestAmmoniaFollowsTheRelationForTheSeaFromOnePerMille(t *testing.T) {
	for salt, sea := range map[float64]bool{0.9: false, 1: true} {
		tank := stockingtest.GoodTank()
		tank.FilterMature = yesNo(false)
		tank.Reading[species.Salinity].Value = salt
		c := stockingtest.MustJudge(t, testfish.WorldOf(t, testfish.PlainFish("Fish a")), stocking.Stock{Lines: one(6), Tank: tank, Wanted: stocking.DefaultWanted})
		want, err := waterchem.UnionizedFraction(7, 25)
		if sea {
			want, err = waterchem.UnionizedFractionSea(7, 25, salt)
		}
		if got := c.Load.Ammonia.Fraction; err != nil || !near(got, want) {
			t.Errorf("%v ppt: %v, want %v", salt, got, want)
		}
	}
}

func TestTheWaterToChangeIsToldInTwentieths(t *testing.T) {
	litres := inVolume(t, 100).Load.Nitrate.WeeklyRise.Typical * 100 / stocking.NitrateCeiling
	for need, told := range map[float64]float64{0.21: 0.25, 0.26: 0.3, 0.44: 0.45} {
		b := testfish.WorldOf(t, testfish.Altered("Fish a", func(sp *species.Species) { sp.Traits[species.Length] = testfish.Exactly(12) }))
		tank := stockingtest.GoodTank()
		tank.LengthCM, tank.WidthCM, tank.HeightCM, tank.VolumeL = 0, 0, 0, litres/need
		*tank.WeeklyChange = 0
		c := stockingtest.MustJudge(t, b, stocking.Stock{Lines: one(10), Tank: tank, Wanted: stocking.DefaultWanted})
		f := stockingtest.FindingOf(&c, stocking.NoWaterChange)
		if f == nil || f.Remedy == nil || !near(f.Remedy.To, told) {
			t.Errorf("needs %v: %+v", need, f)
		}
	}
}
