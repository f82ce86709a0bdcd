package stocking_test

import (
	"math"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"
)

// hunter eats any fish that fits its mouth, and grows to 30 cm.
func hunter(k float64) *species.Species {
	return testfish.Altered("Hunter", func(sp *species.Species) {
		sp.Traits[species.Length] = testfish.Known(28, 30, 34)
		sp.Traits[species.GrowthK] = testfish.Known(0.8*k, k, 1.2*k)
		sp.Traits[species.Piscivory] = testfish.Exactly(1)
		sp.Traits[species.PreyLimit] = testfish.Exactly(0.45)
		sp.Traits[species.Gape] = testfish.Exactly(0.2)
	})
}

// brawler is a fish whose adults fight their own kind to the death; it matures in a year.
func brawler() *species.Species {
	return testfish.Altered("Brawler", func(sp *species.Species) {
		sp.Traits[species.AggressionOwn] = testfish.Exactly(1)
		sp.Traits[species.AggressionOthers] = testfish.Exactly(0.4)
		sp.Traits[species.Territory] = testfish.Exactly(40)
		sp.Traits[species.Maturity] = testfish.Known(9, 12, 15)
	})
}

// of is the line of a species of a world.
func of(b *conflict.Book, id species.ID, l stocking.Line) stocking.Line {
	for i := range b.Snapshot.Len() {
		if b.Snapshot.At(i).ID == id {
			l.Index = i
			return l
		}
	}
	panic("no species " + id)
}

func eventOf(o *stocking.Outlook, kind stocking.EventKind) *stocking.Event {
	for i := range o.Events {
		if o.Events[i].Kind == kind {
			return &o.Events[i]
		}
	}
	return nil
}

func TestWhatGrowingUpLeadsTo(t *testing.T) {
	noGrowth := func() *species.Species {
		sp := hunter(1)
		sp.Traits[species.GrowthK] = species.Value{}
		return sp
	}
	for _, c := range []struct {
		ensures string
		fish    *species.Species
		line    stocking.Line
		want    stocking.Decision
		code    stocking.Code // of the finding; empty for none
	}{
		{"a hunter that outgrows its mates within a year holds the sale", hunter(1), stocking.Line{Count: 1, LengthCM: 4}, stocking.Hold, stocking.LaterConflict},
		{"one that takes years is advice", hunter(0.1), stocking.Line{Count: 1, LengthCM: 4}, stocking.Advise, stocking.LaterConflict},
		{"one that takes more than ten years is advice without a month", hunter(0.001), stocking.Line{Count: 1, LengthCM: 4}, stocking.Advise, stocking.GrownConflict},
		{"one whose growth is not on record is advice without a month", noGrowth(), stocking.Line{Count: 1, LengthCM: 4}, stocking.Advise, stocking.GrownConflict},
		{"one told by age alone is judged as the adult it will be", hunter(1), stocking.Line{Count: 1, AgeMonth: 3}, stocking.Hold, ""},
		{"an adult one is no matter of growth", hunter(1), stocking.Line{Count: 1}, stocking.Hold, ""},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			b := testfish.WorldOf(t, c.fish, testfish.PlainFish("Fish b"))
			got := stockingtest.MustJudge(t, b, stocking.Stock{Lines: []stocking.Line{of(b, "Hunter", c.line), of(b, "Fish b", stocking.Line{Count: 6})}, Wanted: stocking.DefaultWanted})
			if got.Decision != c.want || got.SpeciesDecision != c.want {
				t.Errorf("decision %v, of the species %v, want %v", got.Decision, got.SpeciesDecision, c.want)
			}
			for i := range got.Findings {
				if code := got.Findings[i].Code(); stocking.IsAhead(code) && code != c.code {
					t.Errorf("found %s", code)
				}
			}
			if c.code == "" {
				return
			}
			f := stockingtest.FindingOf(&got, c.code)
			if f == nil {
				t.Fatalf("did not find %s", c.code)
			}
			if f.Remedy == nil || f.Remedy.Kind != stocking.Separate || got.Lines[f.Remedy.Line].Index != got.Lines[0].Index && got.Lines[f.Remedy.Line].LengthCM == 0 {
				t.Errorf("remedy %+v, want the growing line separated", f.Remedy)
			}
		})
	}
}

func TestAYoungFishIsInDangerToday(t *testing.T) {
	b := testfish.WorldOf(t, hunter(1), testfish.Altered("Giant", func(sp *species.Species) { sp.Traits[species.Length] = testfish.Known(24, 25, 26) }))
	lines := []stocking.Line{of(b, "Hunter", stocking.Line{Count: 1}), of(b, "Giant", stocking.Line{Count: 1, AgeMonth: 2})}
	got := stockingtest.MustJudge(t, b, stocking.Stock{Lines: lines, Wanted: stocking.DefaultWanted})
	if f := stockingtest.FindingOf(&got, stocking.YoungConflict); f == nil || f.Severity != stocking.Stop || got.Decision != stocking.Hold {
		t.Fatalf("decision %v, finding %+v", got.Decision, f)
	}
	lines[1].AgeMonth = 0
	if got := stockingtest.MustJudge(t, b, stocking.Stock{Lines: lines, Wanted: stocking.DefaultWanted}); got.Decision == stocking.Hold {
		t.Errorf("as adults: %v %s", got.Decision, wording.English(false).Summary(&got.Summary))
	}
}

func TestOwnKindFightsAtMaturity(t *testing.T) {
	b := testfish.WorldOf(t, brawler())
	o, err := foreseen(b, stocking.Stock{Lines: []stocking.Line{{Count: 4, LengthCM: 2, AgeMonth: 1}}, Wanted: stocking.DefaultWanted})
	if err != nil {
		t.Fatal(err)
	}
	e := eventOf(&o, stocking.OwnKindRises)
	if e == nil || e.Months.Typical < 1 || e.Months.Typical > 11 || e.Decision != stocking.Proceed {
		t.Errorf("own kind: %+v; today's check says as much already", e)
	}
	if g := eventOf(&o, stocking.ClaimsGround); g == nil || g.Months != (stocking.Months{8, 11, 14}) {
		t.Errorf("ground: %+v, want maturity at 12 months, a month old today", g)
	}
}

func TestWhenTheTankIsOutgrown(t *testing.T) {
	b := testfish.WorldOf(t, testfish.Altered("Fish a", func(sp *species.Species) {
		sp.Traits[species.Length] = testfish.Known(28, 30, 34)
		sp.Traits[species.TankLength], sp.Traits[species.TankWidth] = testfish.Known(140, 160, 180), testfish.Known(50, 60, 70)
	}))
	at := func(length, width float64) stocking.Outlook {
		tank := stockingtest.GoodTank()
		tank.LengthCM, tank.WidthCM = length, width
		o, err := foreseen(b, stocking.Stock{Lines: []stocking.Line{{Count: 1, LengthCM: 5}}, Tank: tank, Wanted: stocking.DefaultWanted})
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	short, narrow, ample := at(120, 60), at(160, 30), at(160, 60)
	want := int(math.Ceil(12 * math.Log(25/(30-22.5)) / 2)) // three quarters of the length at K = 2
	if e := eventOf(&short, stocking.OutgrowsTank); e == nil || e.Months.Typical != want {
		t.Errorf("length: %+v, want month %d", e, want)
	}
	want = int(math.Ceil(12 * math.Log(25/(30-30*math.Sqrt(0.5))) / 2))
	if e := eventOf(&narrow, stocking.OutgrowsFloor); e == nil || e.Months.Typical != want {
		t.Errorf("floor: %+v, want month %d", e, want)
	}
	if eventOf(&ample, stocking.OutgrowsTank) != nil || eventOf(&ample, stocking.OutgrowsFloor) != nil {
		t.Errorf("outgrows a tank that is exactly as large as needed: %+v", ample.Events)
	}
}

func TestAWholeListIsJudgedWithItsFuture(t *testing.T) {
	for _, c := range []struct {
		ensures string
		lines   []stocking.Line
		code    stocking.Code
		want    stocking.Decision
	}{
		{"a small oscar grows up to take neon tetras", []stocking.Line{stockingtest.Short(t, "oscar", 1, 5), stockingtest.Some(t, "neon tetra", 10)}, stocking.LaterConflict, stocking.Hold},
		{"a small oscar outgrows small tetras", []stocking.Line{stockingtest.Short(t, "oscar", 1, 4), stockingtest.Some(t, "neon tetra", 10)}, stocking.LaterConflict, stocking.Hold},
		{"young neon tetras grow up to nothing worse", []stocking.Line{stockingtest.Short(t, "neon tetra", 10, 1.5), stockingtest.Some(t, "corydoras panda", 6)}, "", stocking.Proceed},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			got := stockingtest.MustJudge(t, testfish.Book(t), stocking.Stock{Lines: c.lines, Wanted: stocking.DefaultWanted})
			if got.Decision != c.want {
				t.Errorf("%s", wording.English(false).Summary(&got.Summary))
			}
			if c.code != "" && stockingtest.FindingOf(&got, c.code) == nil {
				t.Errorf("did not find %s", c.code)
			}
			if len(got.Outlook.Growth) == 0 || got.Outlook.Horizon == 0 {
				t.Errorf("nobody grows: %+v", got.Outlook)
			}
		})
	}
}

func TestCommitmentsRunFromTheYoungest(t *testing.T) {
	b := testfish.WorldOf(t, testfish.PlainFish("Fish a"))
	o, err := foreseen(b, stocking.Stock{Lines: []stocking.Line{{Count: 1, AgeMonth: 12}, {Count: 1, AgeMonth: 24, LengthCM: 5}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(o.Commitments) != 1 || o.Commitments[0].Years != (species.Band{Low: 2, Typical: 3, High: 4}) {
		t.Errorf("commitments %+v", o.Commitments)
	}
}

func TestABadListHasNoOutlook(t *testing.T) {
	if _, err := foreseen(testfish.Book(t), stocking.Stock{}); err == nil {
		t.Error("an empty list has an outlook")
	}
}

// foreseen is the outlook of a list's check.
func foreseen(b *conflict.Book, s stocking.Stock) (stocking.Outlook, error) {
	c, err := stocking.Judge(b, s)
	return c.Outlook, err
}
