package conflict

import (
	"fmt"
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
		var lines []Company
		for range rapid.IntRange(1, 6).Draw(t, "lines") {
			p := b.Profile(rapid.IntRange(0, b.Snapshot.Len()-1).Draw(t, "line"))
			count := rapid.IntRange(1, 9).Draw(t, "count")
			lines = append(lines, Company{p.InNumbers(count, count), rapid.Float64Range(0, 9e4).Draw(t, "others")})
		}
		joining := rapid.IntRange(1, 20).Draw(t, "joining")
		for j, least := range b.AtLeast(lines, tank, nil) {
			worst, q := 0.0, b.Profile(j).InNumbers(joining, joining)
			for _, l := range lines {
				c := ConditionsFor(l.Line, q, tank)
				c.Reading, c.OthersGroundCM2 = [species.NumParameters]Reading{}, l.OthersCM2
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
