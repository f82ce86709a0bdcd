package stocking

import (
	"math"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// hunter eats any fish that fits its mouth, and grows to 30 cm.
func hunter(k float64) *species.Species {
	return altered("Hunter", func(sp *species.Species) {
		sp.Traits[species.Length] = known(28, 30, 34)
		sp.Traits[species.GrowthK] = known(0.8*k, k, 1.2*k)
		sp.Traits[species.Piscivory] = exactly(1)
		sp.Traits[species.PreyLimit] = exactly(0.45)
		sp.Traits[species.Gape] = exactly(0.2)
	})
}

// brawler is a fish whose adults fight their own kind to the death; it matures in a year.
func brawler() *species.Species {
	return altered("Brawler", func(sp *species.Species) {
		sp.Traits[species.AggressionOwn] = exactly(1)
		sp.Traits[species.AggressionOthers] = exactly(0.4)
		sp.Traits[species.Territory] = exactly(40)
		sp.Traits[species.Maturity] = known(9, 12, 15)
	})
}

// of is the line of a species of a world.
func of(b *conflict.Book, id species.ID, l Line) Line {
	for i := range b.Snapshot.Len() {
		if b.Snapshot.At(i).ID == id {
			l.Index = i
			return l
		}
	}
	panic("no species " + id)
}

func eventOf(o *Outlook, kind EventKind) *Event {
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
		line    Line
		want    Decision
		code    Code // of the finding; empty for none
	}{
		{"a hunter that outgrows its mates within a year holds the sale", hunter(1), Line{Count: 1, LengthCM: 4}, Hold, LaterConflict},
		{"one that takes years is advice", hunter(0.1), Line{Count: 1, LengthCM: 4}, Advise, LaterConflict},
		{"one that takes more than ten years is advice without a month", hunter(0.01), Line{Count: 1, LengthCM: 4}, Advise, GrownConflict},
		{"one whose growth is not on record is advice without a month", noGrowth(), Line{Count: 1, LengthCM: 4}, Advise, GrownConflict},
		{"one told by age alone is judged as the adult it will be", hunter(1), Line{Count: 1, AgeMonth: 3}, Hold, ""},
		{"an adult one is no matter of growth", hunter(1), Line{Count: 1}, Hold, ""},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			b := worldOf(t, c.fish, plainFish("Fish b"))
			got := mustJudge(t, b, Stock{Lines: []Line{of(b, "Hunter", c.line), of(b, "Fish b", Line{Count: 6})}, Wanted: DefaultWanted})
			if got.Decision != c.want || got.SpeciesDecision != c.want {
				t.Errorf("decision %v, of the species %v, want %v", got.Decision, got.SpeciesDecision, c.want)
			}
			for i := range got.Findings {
				if code := got.Findings[i].Code(); isAhead(code) && code != c.code {
					t.Errorf("found %s", code)
				}
			}
			if c.code == "" {
				return
			}
			f := findingOf(&got, c.code)
			if f == nil {
				t.Fatalf("did not find %s", c.code)
			}
			if f.Remedy == nil || f.Remedy.Kind != Separate || got.Lines[f.Remedy.Line].Index != got.Lines[0].Index && got.Lines[f.Remedy.Line].LengthCM == 0 {
				t.Errorf("remedy %+v, want the growing line separated", f.Remedy)
			}
		})
	}
}

func TestAYoungFishIsInDangerToday(t *testing.T) {
	b := worldOf(t, hunter(1), altered("Giant", func(sp *species.Species) { sp.Traits[species.Length] = known(24, 25, 26) }))
	lines := []Line{of(b, "Hunter", Line{Count: 1}), of(b, "Giant", Line{Count: 1, AgeMonth: 2})}
	got := mustJudge(t, b, Stock{Lines: lines, Wanted: DefaultWanted})
	if f := findingOf(&got, YoungConflict); f == nil || f.Severity != Stop || got.Decision != Hold {
		t.Fatalf("decision %v, finding %+v", got.Decision, f)
	}
	lines[1].AgeMonth = 0
	if got := mustJudge(t, b, Stock{Lines: lines, Wanted: DefaultWanted}); got.Decision == Hold {
		t.Errorf("as adults: %v %s", got.Decision, English(false).Summary(&got.Summary))
	}
}

func TestOwnKindFightsAtMaturity(t *testing.T) {
	b := worldOf(t, brawler())
	o, err := Foresee(b, Stock{Lines: []Line{{Count: 4, LengthCM: 2, AgeMonth: 1}}, Wanted: DefaultWanted})
	if err != nil {
		t.Fatal(err)
	}
	e := eventOf(&o, OwnKindRises)
	if e == nil || e.Months.Typical < 1 || e.Months.Typical > 11 || e.Decision != Proceed {
		t.Errorf("own kind: %+v; today's check says as much already", e)
	}
	if g := eventOf(&o, ClaimsGround); g == nil || g.Months != (Months{8, 11, 14}) {
		t.Errorf("ground: %+v, want maturity at 12 months, a month old today", g)
	}
}

func TestWhenTheTankIsOutgrown(t *testing.T) {
	b := worldOf(t, altered("Fish a", func(sp *species.Species) {
		sp.Traits[species.Length] = known(28, 30, 34)
		sp.Traits[species.TankLength], sp.Traits[species.TankWidth] = known(140, 160, 180), known(50, 60, 70)
	}))
	at := func(length, width float64) Outlook {
		tank := goodTank()
		tank.LengthCM, tank.WidthCM = length, width
		o, err := Foresee(b, Stock{Lines: []Line{{Count: 1, LengthCM: 5}}, Tank: tank, Wanted: DefaultWanted})
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	short, narrow, ample := at(120, 60), at(160, 30), at(160, 60)
	want := int(math.Ceil(12 * math.Log(25/(30-22.5)) / 2)) // three quarters of the length at K = 2
	if e := eventOf(&short, OutgrowsTank); e == nil || e.Months.Typical != want {
		t.Errorf("length: %+v, want month %d", e, want)
	}
	want = int(math.Ceil(12 * math.Log(25/(30-30*math.Sqrt(0.5))) / 2))
	if e := eventOf(&narrow, OutgrowsFloor); e == nil || e.Months.Typical != want {
		t.Errorf("floor: %+v, want month %d", e, want)
	}
	if eventOf(&ample, OutgrowsTank) != nil || eventOf(&ample, OutgrowsFloor) != nil {
		t.Errorf("outgrows a tank that is exactly as large as needed: %+v", ample.Events)
	}
}

func TestTheEdgeOfTheFirstYear(t *testing.T) {
	f := &future{judging: &judging{wanted: conflict.Moderate}}
	for _, c := range []struct {
		ensures      string
		level, today conflict.Level
		month        int
		want         Decision
	}{
		{"above wanted in the last month of the first year holds", conflict.High, conflict.Low, HoldWithin, Hold},
		{"a month later it is advice", conflict.High, conflict.Low, HoldWithin + 1, Advise},
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
	f.wanted = conflict.High
	if got := f.decisionAhead(conflict.High, conflict.Low, 3); got != Advise {
		t.Errorf("high is wanted, yet it leads to %v", got)
	}
}

func TestAWholeListIsJudgedWithItsFuture(t *testing.T) {
	for _, c := range []struct {
		ensures string
		lines   []Line
		code    Code
		want    Decision
	}{
		{"small angelfish grow up to take neon tetras", []Line{short(t, "angelfish", 5, 6), some(t, "neon tetra", 10)}, LaterConflict, Hold},
		{"a small oscar outgrows small tetras", []Line{short(t, "oscar", 1, 4), some(t, "neon tetra", 10)}, LaterConflict, Hold},
		{"young neon tetras grow up to nothing worse", []Line{short(t, "neon tetra", 10, 1.5), some(t, "corydoras panda", 6)}, "", Proceed},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			got := mustJudge(t, book(t), Stock{Lines: c.lines, Wanted: DefaultWanted})
			if got.Decision != c.want {
				t.Errorf("%s", English(false).Summary(&got.Summary))
			}
			if c.code != "" && findingOf(&got, c.code) == nil {
				t.Errorf("did not find %s", c.code)
			}
			if len(got.Outlook.Growth) == 0 || got.Outlook.Horizon == 0 {
				t.Errorf("nobody grows: %+v", got.Outlook)
			}
		})
	}
}

// short is a line of so many fish of a length.
func short(t testing.TB, name string, count int, cm float64) Line {
	l := some(t, name, count)
	l.LengthCM = cm
	return l
}

func TestCommitmentsRunFromTheYoungest(t *testing.T) {
	b := worldOf(t, plainFish("Fish a"))
	o, err := Foresee(b, Stock{Lines: []Line{{Count: 1, AgeMonth: 12}, {Count: 1, AgeMonth: 24, LengthCM: 5}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(o.Commitments) != 1 || o.Commitments[0].Years != (species.Band{Low: 2, Typical: 3, High: 4}) {
		t.Errorf("commitments %+v", o.Commitments)
	}
}

func TestABadListHasNoOutlook(t *testing.T) {
	if _, err := Foresee(book(t), Stock{}); err == nil {
		t.Error("an empty list has an outlook")
	}
}
