package additions

import (
	"slices"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/synthetic"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"

	"pgregory.net/rapid"
)

func mustAdd(t testing.TB, b *conflict.Book, s stocking.Stock, o Options) Additions {
	t.Helper()
	a, err := Rank(b, s, o)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func neonTank(t testing.TB) stocking.Stock {
	return stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, "paracheirodon-innesi", 10), stockingtest.Some(t, "hoplisoma-panda", 6)}, Tank: stockingtest.GoodTank(), Wanted: conflict.Moderate}
}

func TestAddingAnyFittingSpeciesKeepsTheDecision(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 4)
		a, err := Rank(b, s, Options{Limit: 5})
		if err != nil {
			t.Skip("the list itself cannot be judged")
		}
		for _, x := range a.Fitting {
			with := s
			with.Lines = append(slices.Clone(s.Lines), stocking.Line{Index: x.Index, Count: x.Count, Incoming: true})
			c, err := stocking.Judge(b, with)
			if err != nil {
				t.Fatal(err)
			}
			if c.TankDecision != a.Decision || c.TankDecision != x.Decision {
				t.Fatalf("%d %s: %v became %v, promised %v", x.Count, x.Species.ID, a.Decision, c.TankDecision, x.Decision)
			}
		}
	})
}

func TestAdditionsDoNotDependOnTheOrderOfTheList(t *testing.T) {
	b, s := testfish.Book(t), neonTank(t)
	turned := s
	turned.Lines = []stocking.Line{s.Lines[1], s.Lines[0]}
	one, two := mustAdd(t, b, s, Options{}), mustAdd(t, b, turned, Options{})
	if !slices.EqualFunc(one.Fitting, two.Fitting, func(x, y Addition) bool { return x.Index == y.Index && x.Worst == y.Worst }) {
		t.Error("the order of the list changed the additions")
	}
}

func TestFiltersNarrowTheAdditions(t *testing.T) {
	b, s := testfish.Book(t), neonTank(t)
	bottom := species.Bottom
	for _, c := range []struct {
		name  string
		o     Options
		holds func(*species.Species) bool
	}{
		{"by zone", Options{Filters: Filters{Zone: &bottom}}, func(sp *species.Species) bool { return mainZone(sp) == species.Bottom }},
		{"by family", Options{Filters: Filters{Family: "loricariidae"}}, func(sp *species.Species) bool { return sp.Family == "Loricariidae" }},
		{"by length", Options{Filters: Filters{MaxLengthCM: 5}}, func(sp *species.Species) bool { return sp.Traits[species.Length].High <= 5 }},
		{"by temperament", Options{Filters: Filters{Temperament: []conflict.WordCode{conflict.WordTerritorial}}}, func(sp *species.Species) bool {
			v, _ := greatestValue(sp, species.AggressionOthers)
			return conflict.AggressionWord(v.Typical) == conflict.WordTerritorial
		}},
		{"by stock", Options{InStock: []int{3, 9, 9}}, func(sp *species.Species) bool { return sp == b.Snapshot.At(3) || sp == b.Snapshot.At(9) }},
	} {
		a := mustAdd(t, b, s, c.o)
		if a.Considered == 0 || a.Considered >= b.Snapshot.Len()-2 {
			t.Errorf("%s: %d considered", c.name, a.Considered)
		}
		for _, x := range append(a.Fitting, a.Below...) {
			if !c.holds(x.Species) {
				t.Errorf("%s: %s passed", c.name, x.Species.ID)
			}
		}
	}
}

func TestAPeacefulTankTakesPeacefulFishAndSaysWhyNotOthers(t *testing.T) {
	b := testfish.Book(t)
	a := mustAdd(t, b, neonTank(t), Options{Below: 200})
	if len(a.Fitting) == 0 {
		t.Fatal("nothing fits a tank of neons")
	}
	for _, x := range a.Fitting {
		if x.Limit != nil || x.Worst >= conflict.ModerateFrom && a.Decision == stocking.Proceed {
			t.Errorf("%s fits with worst %.1f and limit %v", x.Species.ID, x.Worst, x.Limit)
		}
	}
	predator, _ := b.Snapshot.Index("cichla-ocellaris")
	for _, x := range a.Below {
		if x.Limit == nil || x.Fits {
			t.Errorf("%s is below without a reason", x.Species.ID)
		}
		if x.Index == predator && x.Decision != stocking.Hold {
			t.Errorf("a peacock bass leads to %v", x.Decision)
		}
	}
}

func TestAReplacementLooksLikeWhatItReplaces(t *testing.T) {
	b := testfish.Book(t)
	cardinal, _ := b.Snapshot.Index("paracheirodon-axelrodi")
	s := neonTank(t)
	s.Lines = append(s.Lines, stocking.Line{Index: cardinal, Count: 10})
	a := mustAdd(t, b, s, Options{InsteadOf: &cardinal})
	if a.InsteadOf != b.Snapshot.At(cardinal) || len(a.Lines) != 2 || len(a.Fitting) == 0 {
		t.Fatalf("instead of %v, lines %d, fitting %d", a.InsteadOf, len(a.Lines), len(a.Fitting))
	}
	for i, x := range a.Fitting {
		if x.Index == cardinal {
			t.Error("the replaced species is offered again")
		}
		if i > 0 && x.Likeness > a.Fitting[i-1].Likeness+likenessStep {
			t.Errorf("%s (%.2f) comes after a less like one (%.2f)", x.Species.ID, x.Likeness, a.Fitting[i-1].Likeness)
		}
	}
}

// BenchmarkAdditions ranks generated catalogues for 12 residents; ns/species should not
// grow with their number.
func BenchmarkAdditions(b *testing.B) {
	for _, n := range []struct {
		name string
		n    int
	}{{"1k", 1_000}, {"10k", 10_000}, {"100k", 100_000}} {
		b.Run(n.name, func(b *testing.B) {
			snap, err := species.NewSnapshot(1, synthetic.Catalogue(1, n.n))
			if err != nil {
				b.Fatal(err)
			}
			m, err := conflict.Default()
			if err != nil {
				b.Fatal(err)
			}
			book := conflict.NewBook(m, snap)
			s := stocking.Stock{Tank: stockingtest.GoodTank(), Wanted: conflict.Moderate}
			for i := range 12 {
				s.Lines = append(s.Lines, stocking.Line{Index: i * 37, Count: 2})
			}
			for b.Loop() {
				if _, err := Rank(book, s, Options{}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n.n), "ns/species")
		})
	}
}

func TestDifferencesBelowAStepDoNotDecide(t *testing.T) {
	base := rank{likeness: 0.5, worst: 20, sum: 40, water: 0.5, zone: 0.5}
	with := func(change func(*rank)) *rank { r := base; change(&r); return &r }
	for _, c := range []struct {
		ensures       string
		better, worse *rank // the better one has less zone left free, which decides last of all
	}{
		{"likeness by a twentieth", with(func(r *rank) { r.likeness = 0.551; r.worst = 90 }), with(func(r *rank) { r.likeness = 0.549 })},
		{"less than that is alike", with(func(r *rank) { r.likeness = 0.501 }), with(func(r *rank) { r.likeness = 0.549; r.worst = 90 })},
		{"the worst pairing by half a level", with(func(r *rank) { r.worst = 24.9; r.water = 0 }), with(func(r *rank) { r.worst = 25.1 })},
		{"less than that is alike", with(func(r *rank) { r.worst = 24.9 }), with(func(r *rank) { r.worst = 12.6; r.water = 0 })},
		{"the water by a quarter", with(func(r *rank) { r.water = 0.51; r.usual = 3 }), with(func(r *rank) { r.water = 0.49 })},
		{"less than that is alike", with(func(r *rank) { r.water = 0.51 }), with(func(r *rank) { r.water = 0.74; r.usual = 1 })},
		{"how usual it is before the sum", with(func(r *rank) { r.sum = 400 }), with(func(r *rank) { r.usual = 1 })},
		{"the sum by twenty-five", with(func(r *rank) { r.sum = 49.9; r.zone = 0 }), with(func(r *rank) { r.sum = 50.1 })},
		{"less than that is alike", with(func(r *rank) { r.sum = 49.9 }), with(func(r *rank) { r.sum = 25.1; r.zone = 0 })},
		{"the levels left free by a quarter", with(func(r *rank) { r.zone = 0.51; r.worst = 20.1 }), with(func(r *rank) { r.zone = 0.49 })},
	} {
		if c.better.compare(c.worse) >= 0 || c.worse.compare(c.better) <= 0 {
			t.Errorf("%s: %+v comes after %+v", c.ensures, *c.better, *c.worse)
		}
	}
}
