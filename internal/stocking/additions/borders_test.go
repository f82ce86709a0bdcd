package additions

import (
	"errors"
	"slices"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
)

func TestHowManyAdditionsAreTold(t *testing.T) {
	b, s := testfish.Book(t), neonTank(t)
	usual, all := mustAdd(t, b, s, Options{}), mustAdd(t, b, s, Options{Limit: 200})
	if len(usual.Fitting) != 20 || len(usual.Below) != 10 {
		t.Errorf("where nobody says how many, %d that fit and %d just below", len(usual.Fitting), len(usual.Below))
	}
	for i, x := range usual.Fitting { // who asks for more gets the same first
		if all.Fitting[i].Index != x.Index {
			t.Errorf("at %d %s of few, %s of many", i, x.Species.ID, all.Fitting[i].Species.ID)
		}
	}
	var wrong *stocking.InputError
	if _, err := Rank(b, s, Options{Limit: 201}); !errors.As(err, &wrong) || wrong.Problems[0].Field != "limit" {
		t.Errorf("201 are asked for: %v", err)
	}
}

// Of kinds that fit equally well the first round has one of a genus, three of a family and five of a level.
func TestRoundsAreVaried(t *testing.T) {
	for _, c := range []struct {
		like func(i int, sp *species.Species) // what the kinds have in common
		want []int
	}{
		{func(_ int, sp *species.Species) {
			sp.ScientificName, sp.Family = "Testus "+string(sp.ID), string(sp.ID)
		}, []int{0, 1, 2, 3, 4, 5, 6, 7}},
		{func(int, *species.Species) {}, []int{0, 0, 1, 1, 2, 2, 3, 3}},
		{func(_ int, sp *species.Species) { sp.Family = string(sp.ID) }, []int{0, 0, 0, 0, 0, 1, 1, 1}},
		{func(i int, sp *species.Species) {
			sp.Family, sp.Zones.Share = string(sp.ID), [species.NumZones]float64{}
			sp.Zones.Share[i%2] = 1
		}, []int{0, 0, 0, 0, 0, 0, 0, 0}},
		{func(i int, sp *species.Species) {
			sp.Family, sp.Zones.Share = string(sp.ID), [species.NumZones]float64{}
			if sp.Zones.Share[i%2] = 1; i%2 == 0 {
				sp.BodyForm = species.SnailForm
			}
		}, []int{0, 0, 1, 0, 2, 0, 3, 0}},
	} {
		var kinds []*species.Species
		var ranked []placed
		for i := range c.want {
			name := "fish" + string(rune('a'+i))
			kinds = append(kinds, testfish.Altered(name, func(sp *species.Species) {
				sp.ScientificName = "Genus" + name + " testus"
				c.like(i, sp)
			}))
			ranked = append(ranked, placed{rank: rank{index: i}})
		}
		sc := newScan(testfish.WorldOf(t, kinds...), &stocking.Stock{Wanted: conflict.Moderate}, &Options{})
		if got := sc.rounds(ranked); !slices.Equal(got, c.want) {
			t.Errorf("rounds %v, want %v", got, c.want)
		}
	}
}

// What is said for a kind begins at a border: nearly all of its level, half of it, water that suits it well or fairly.
func TestWhatIsSaidForAKind(t *testing.T) {
	for _, c := range []struct {
		water, zone, level float64
		alike              float64
		usual              species.Availability
		want               []conflict.WordCode
		code               stocking.Code
	}{
		{0.82, 0, 1, 0, "", []conflict.WordCode{whyCompany, whyLikesWater}, WhyFits},
		{0.78, 0, 1, 0, "", []conflict.WordCode{whyCompany, whyBearsWater}, WhyFits},
		{0.32, 0, 1, 0, "", []conflict.WordCode{whyCompany, whyBearsWater}, WhyFits},
		{0.28, 0, 1, 0, "", []conflict.WordCode{whyCompany}, WhyFits},
		{0, 0.92, 1, 0, "", []conflict.WordCode{whyCompany, whyEmpty[1]}, WhyFits},
		{0, 0.88, 1, 0, "", []conflict.WordCode{whyCompany, whyRoom[1]}, WhyFits},
		{0, 0.52, 1, 0, "", []conflict.WordCode{whyCompany, whyRoom[1]}, WhyFits},
		{0, 0.48, 1, 0, "", []conflict.WordCode{whyCompany}, WhyFits},
		{0, 1, 0.55, 0, "", []conflict.WordCode{whyCompany, whyEmpty[1]}, WhyFits},
		{0, 1, 0.48, 0, "", []conflict.WordCode{whyCompany}, WhyFits},
		{1, 1, 1, 0, species.EveryShop, []conflict.WordCode{whyCompany, whyLikesWater, whyEmpty[1]}, WhyFits}, // three in a breath
		{0, 1, 1, 0, species.EveryShop, []conflict.WordCode{whyCompany, whyEmpty[1], whyUsual}, WhyFits},
		{0, 0, 1, 0.72, "", []conflict.WordCode{whyCompany}, WhyAlike},
		{0, 0, 1, 0.68, "", []conflict.WordCode{whyCompany}, WhyFits},
	} {
		joiner := testfish.Altered("fish b", func(sp *species.Species) {
			rest := (1 - c.level) / 2
			sp.Zones.Share, sp.Available = [species.NumZones]float64{rest, c.level, rest}, c.usual
		})
		replaced := 0
		o := Options{}
		if c.alike > 0 {
			o.InsteadOf = &replaced
		}
		b := testfish.WorldOf(t, testfish.PlainFish("fish a"), joiner)
		sc := newScan(b, &stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: 2}}, Tank: stockingtest.GoodTank(), Wanted: conflict.Moderate}, &o)
		w := sc.begin(1, 0, 2, false)
		sc.values = []float64{0} // it gets on with the line of the list
		w.rank.water, w.rank.zone, w.rank.likeness = c.water, c.zone, c.alike
		if s := sc.why(&w); s.Code != c.code || !slices.Equal(s.Words, c.want) {
			t.Errorf("water %v, room %v at a level of %v, alike %v: %s %v, want %s %v", c.water, c.zone, c.level, c.alike, s.Code, s.Words, c.code, c.want)
		}
	}
}
