package conflict

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"commensal/internal/species"

	"pgregory.net/rapid"
)

// drawCatalogue draws a few kinds, relatives and strangers, of which some lack a water range or their levels.
func drawCatalogue(t *rapid.T) *species.Snapshot {
	var c species.Catalogue
	for i := range rapid.IntRange(1, 12).Draw(t, "kinds") {
		sp := drawSpecies(t, fmt.Sprint("kind-", i))
		sp.ScientificName = rapid.SampledFrom([]string{"Genus", "Alius"}).Draw(t, "genus") + fmt.Sprint(" kind-", i)
		sp.Family = rapid.SampledFrom([]string{"Testidae", "Aliidae"}).Draw(t, "family")
		sp.Names, sp.Colours = nil, rapid.SliceOfDistinct(rapid.SampledFrom([]string{"red", "blue", "black"}), rapid.ID).Draw(t, "colours")
		if rapid.Bool().Draw(t, "crosses") {
			sp.Hybridises = []string{rapid.SampledFrom([]string{"Genus", "Alius kind-1", "Genus kind-0"}).Draw(t, "with")}
		}
		if i > 0 && rapid.IntRange(0, 3).Draw(t, "form") == 0 {
			sp.Form, sp.FormOf = "veil", "kind-0"
		}
		if rapid.IntRange(0, 3).Draw(t, "electric") == 0 {
			sp.Cautions = []species.Caution{species.Electric}
		}
		if lacks := rapid.IntRange(0, 2*species.NumParameters).Draw(t, "lacks"); lacks < species.NumParameters {
			sp.Water[lacks] = species.WaterRange{}
		}
		switch rapid.IntRange(0, 5).Draw(t, "levels") {
		case 0:
			sp.Zones = species.ZoneUse{}
		case 1:
			sp.FeedingZones = species.ZoneUse{}
		}
		c.Species = append(c.Species, sp)
	}
	s, err := species.NewSnapshot(1, c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// In columns and alone every score is the same, whatever a catalogue holds and lacks.
func TestColumnsScoreAnyCatalogueAlike(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		b := NewBook(m, drawCatalogue(t))
		n := b.Snapshot.Len()
		i, tank := rapid.IntRange(0, n-1).Draw(t, "line"), drawTank(t)
		p := b.For(i, Individual{Count: rapid.IntRange(0, 9).Draw(t, "count"), Sex: species.Sex(rapid.IntRange(0, 2).Draw(t, "sex"))})
		for j, got := range b.Against(p, tank, nil) {
			c := ConditionsFor(p, b.Profile(j), tank)
			if want := m.Value(p, b.Profile(j), &c); got != want {
				t.Fatalf("with %s %v, alone %v", b.Profile(j).Species.ID, got, want)
			}
		}
	})
}

// A bound holds in any catalogue, for any number that joins.
func TestBoundsHoldInAnyCatalogue(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		b := NewBook(m, drawCatalogue(t))
		tank := drawTank(t)
		var lines []Group
		var all []int
		ground := rapid.Float64Range(0, 9e4).Draw(t, "others")
		for k := range rapid.IntRange(1, 6).Draw(t, "lines") {
			i, count := rapid.IntRange(0, b.Snapshot.Len()-1).Draw(t, "line"), rapid.IntRange(1, 9).Draw(t, "count")
			p := b.Profile(i).InNumbers(count, count)
			lines, all, ground = append(lines, Group{i, p}), append(all, k), ground+p.Ground()
		}
		joining := rapid.IntRange(1, 20).Draw(t, "joining")
		for j, least := range b.Beside(lines, ground, tank).AtLeast(all, nil) {
			worst, q := 0.0, b.Profile(j).InNumbers(joining, joining)
			for _, l := range lines {
				c := ConditionsFor(l.Line, q, tank)
				c.Reading = [species.NumParameters]Reading{}
				if !c.ReferenceTank {
					c.OthersGroundCM2 = ground - l.Line.Ground()
				}
				worst = max(worst, m.Value(l.Line, q, &c), m.Value(q, l.Line, &c))
			}
			if least > worst+1e-9 {
				t.Fatalf("%s is at %v, and its bound is %v", q.Species.ID, worst, least)
			}
		}
	})
}

// Rows hold every species once, fish first.
func TestEveryKindHasOneRow(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		b := NewBook(m, drawCatalogue(t))
		c := b.columns()
		rows := slices.Sorted(slices.Values(c.order))
		for i, at := range rows {
			if int(at) != i {
				t.Fatalf("rows %v", c.order)
			}
		}
		for r, at := range c.order {
			if b.Profile(int(at)).spineless != (r >= c.fish) {
				t.Fatalf("%d of %d rows are fish: %v", c.fish, len(c.order), c.order)
			}
		}
	})
}

// A chord is never above the power it stands for, close to it where rooms lie, and rises with it.
func TestChordsAreBelowThePower(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		exponent := rapid.Float64Range(0.02, 1).Draw(t, "exponent")
		p := powersOf(exponent)
		x := math.Exp(rapid.Float64Range(-12, 12).Draw(t, "ln"))
		got, want := p.least(x), math.Pow(x, exponent)
		if got > want*(1+1e-12) || got > p.least(1.01*x)+1e-12 {
			t.Fatalf("%v to the power of %v is %v, the chord %v", x, exponent, want, got)
		}
		if x > 0.001 && x < 1000 && got < 0.99*want {
			t.Fatalf("%v to the power of %v is %v, the chord only %v", x, exponent, want, got)
		}
	})
}

// What is kept is made once for a book and for those under other laws, by whoever asks first.
func TestABookKeepsWhatWasMadeOfIt(t *testing.T) {
	type one struct{}
	type other struct{}
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		b := NewBook(m, drawCatalogue(t))
		made := 0
		build := func() any { made++; return made }
		if b.Keep(one{}, build) != 1 || b.UnderLaw(nil).Keep(one{}, build) != 1 || b.Keep(other{}, build) != 2 || made != 2 {
			t.Fatalf("made %d times", made)
		}
	})
}
