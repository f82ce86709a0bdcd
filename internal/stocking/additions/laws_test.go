package additions

import (
	"math"
	"slices"
	"strings"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"

	"pgregory.net/rapid"
)

// drawOffer draws as many neighbouring species as an answer can hold, so that no list
// is cut short however large the catalogue.
func drawOffer(t *rapid.T, b *conflict.Book, s *stocking.Stock) []int {
	kinds := b.Snapshot.Len()
	first := rapid.IntRange(0, kinds-1).Draw(t, "first offered")
	if rapid.Bool().Draw(t, "relatives") { // neighbours of one on the list, other forms among them
		first = max(0, s.Lines[0].Index-5)
	}
	offered := make([]int, min(kinds, MaxLimit))
	for k := range offered {
		offered[k] = (first + k) % kinds
	}
	return offered
}

func TestEveryAdditionIsJudgedAsTheListWouldBe(t *testing.T) {
	real, generated := testfish.Book(t), testfish.GeneratedBook(t, 160)
	rapid.Check(t, func(t *rapid.T) {
		b := testfish.DrawBook(t, real, generated)
		s := stockingtest.DrawStock(t, b, 5)
		a, err := Rank(b, s, Options{Limit: MaxLimit, Below: MaxLimit, InStock: drawOffer(t, b, &s)})
		if err != nil {
			t.Fatal(err)
		}
		before := stocking.NewAssessment(b, &s)
		if before.Judge(); before.TankDecision != a.Decision {
			t.Fatalf("the list is %v, told %v", before.TankDecision, a.Decision)
		}
		for _, x := range slices.Concat(a.Fitting, a.Below) {
			j := stockingtest.Joined(b, s, x.Index, x.Count)
			if j.TankDecision != x.Decision {
				t.Fatalf("%d %s: %v, told %v", x.Count, x.Species.ID, j.TankDecision, x.Decision)
			}
			if x.Fits != (x.Limit == nil) || x.Fits && j.TankDecision > a.Decision {
				t.Fatalf("%d %s: fits %v, limit %+v, %v became %v", x.Count, x.Species.ID, x.Fits, x.Limit, a.Decision, j.TankDecision)
			}
			if !x.Fits && a.Decision < stocking.Hold && j.TankDecision == a.Decision {
				t.Fatalf("%d %s does not fit and changes nothing: %+v", x.Count, x.Species.ID, x.Limit)
			}
			sameScores(t, j, &x)
			if x.Limit == nil {
				continue
			}
			if text := wording.English(true).Sentence(x.Limit.Statement); len(text) < 8 || strings.ContainsAny(text, "{}") {
				t.Fatalf("%s is limited by %q (%s)", x.Species.ID, text, x.Limit.Statement.Code)
			}
		}
	})
}

func sameScores(t *rapid.T, j *stocking.Assessment, x *Addition) {
	worst, sum := 0.0, 0.0
	for _, p := range j.Pairs {
		if j.Lines[p.First].Index == x.Index || j.Lines[p.Second].Index == x.Index {
			worst, sum = max(worst, p.Score), sum+p.Score
		}
	}
	if math.Abs(worst-x.Worst) > 1e-6 || math.Abs(sum-x.Sum) > 1e-6 {
		t.Fatalf("%s: worst %v sum %v, told %v and %v", x.Species.ID, worst, sum, x.Worst, x.Sum)
	}
	if x.Pairing != nil && math.Abs(x.Pairing.Score.Value-worst) > 1e-6 {
		t.Fatalf("%s: the worst pairing scores %v, not %v", x.Species.ID, x.Pairing.Score.Value, worst)
	}
}

func TestNoSpeciesThatKeepsTheDecisionIsMissed(t *testing.T) {
	real, generated := testfish.Book(t), testfish.GeneratedBook(t, 160)
	rapid.Check(t, func(t *rapid.T) {
		b := testfish.DrawBook(t, real, generated)
		s := stockingtest.DrawStock(t, b, 3)
		missesNone(t, b, s, drawOffer(t, b, &s))
	})
}

// What eats the snails that came with the plants may join them.
func TestWhatIsBoughtAgainstPestSnailsIsOffered(t *testing.T) {
	b := testfish.Book(t)
	loach, _ := b.Snapshot.Index("ambastaia-sidthimunki")
	for _, id := range []species.ID{"melanoides-tuberculata", "planorbella-duryi"} {
		snail, _ := b.Snapshot.Index(id)
		snails := stocking.Stock{Lines: []stocking.Line{{Index: snail, Count: 20}}, Tank: stockingtest.GoodTank(), Wanted: conflict.Moderate}
		for first := 0; first < b.Snapshot.Len(); first += MaxLimit {
			offered := make([]int, 0, MaxLimit)
			for i := first; i < min(first+MaxLimit, b.Snapshot.Len()); i++ {
				offered = append(offered, i)
			}
			missesNone(t, b, snails, offered)
		}
		a, err := Rank(b, snails, Options{InStock: []int{loach}})
		if err != nil || len(a.Fitting) != 1 {
			t.Fatalf("a snail eater beside %s: %+v, %v", id, a, err)
		}
	}
}

// failing is what both a test and a drawn one can do.
type failing interface{ Fatalf(string, ...any) }

// missesNone holds that exactly those fit that leave the decision as it was.
func missesNone(t failing, b *conflict.Book, s stocking.Stock, offered []int) {
	a, err := Rank(b, s, Options{Limit: MaxLimit, Below: MaxLimit, InStock: offered})
	if err != nil {
		t.Fatalf("%v", err)
	}
	if a.Decision == stocking.Hold { // nothing can change it
		return
	}
	fits := map[int]bool{}
	for _, x := range a.Fitting {
		fits[x.Index] = true
	}
	for _, i := range offered {
		if slices.ContainsFunc(s.Lines, func(l stocking.Line) bool { return l.Index == i }) {
			continue
		}
		least, _, _ := stocking.GroupNeed(b.Snapshot.At(i), species.Unsexed)
		if keeps := stockingtest.Joined(b, s, i, least).TankDecision <= a.Decision; keeps != fits[i] {
			t.Fatalf("%d %s: keeps the decision %v, listed as fitting %v", least, b.Snapshot.At(i).ID, keeps, fits[i])
		}
	}
	if len(a.Fitting)+len(a.Below) != a.Considered {
		t.Fatalf("%d fit and %d do not, of %d", len(a.Fitting), len(a.Below), a.Considered)
	}
}

func TestAShorterAnswerIsTheStartOfALongerOne(t *testing.T) {
	real, generated := testfish.Book(t), testfish.GeneratedBook(t, 160)
	rapid.Check(t, func(t *rapid.T) {
		b := testfish.DrawBook(t, real, generated)
		s := stockingtest.DrawStock(t, b, 4)
		var o Options
		if rapid.Bool().Draw(t, "instead") {
			i := rapid.IntRange(0, b.Snapshot.Len()-1).Draw(t, "of")
			o.InsteadOf = &i
		}
		o.Limit, o.Below = rapid.IntRange(1, 9).Draw(t, "limit"), rapid.IntRange(1, 9).Draw(t, "below")
		short, err := Rank(b, s, o)
		if err != nil {
			t.Fatal(err)
		}
		o.Limit, o.Below = 200, 200
		long, err := Rank(b, s, o)
		if err != nil {
			t.Fatal(err)
		}
		startsWith(t, "fitting", short.Fitting, long.Fitting)
		startsWith(t, "below", short.Below, long.Below)
	})
}

func startsWith(t *rapid.T, which string, short, long []Addition) {
	if len(short) > len(long) {
		t.Fatalf("%s: %d asked for few, %d for many", which, len(short), len(long))
	}
	for k := range short {
		if short[k].Index != long[k].Index || short[k].Count != long[k].Count || short[k].More != long[k].More {
			t.Fatalf("%s, place %d: %s, of more %s", which, k, short[k].Species.ID, long[k].Species.ID)
		}
	}
}

func TestAnEmptyTankTakesWhatItSuits(t *testing.T) {
	b := testfish.Book(t)
	small := stockingtest.GoodTank()
	small.LengthCM, small.WidthCM, small.HeightCM = 60, 30, 30
	small.Reading[species.Salinity] = conflict.Reading{}
	a := mustAdd(t, b, stocking.Stock{Tank: small, Wanted: conflict.Moderate}, Options{Limit: 200, Below: 200})
	if a.Decision != stocking.Proceed || len(a.Fitting) == 0 || a.Considered != b.Snapshot.Len() {
		t.Fatalf("%v, %d fit of %d", a.Decision, len(a.Fitting), a.Considered)
	}
	for _, x := range a.Fitting {
		if j := stockingtest.Joined(b, stocking.Stock{Tank: small, Wanted: conflict.Moderate}, x.Index, x.Count); j.TankDecision != stocking.Proceed {
			t.Errorf("%d %s: %v", x.Count, x.Species.ID, j.TankDecision)
		}
	}
	for _, x := range a.Below {
		if x.Species.ID == "astronotus-ocellatus" && (x.Limit.Statement.Code != stocking.TankTooShort || x.Limit.With != stocking.TheTank) {
			t.Errorf("an oscar in 60 cm is limited by %+v", x.Limit)
		}
	}
}

func TestALoneFishThatWillHaveCompanyNeedsCover(t *testing.T) {
	tough := testfish.Altered("bully", func(sp *species.Species) {
		sp.Traits[species.Territory], sp.Traits[species.AggressionOthers] = testfish.Exactly(20), testfish.Exactly(0.3)
	})
	b := testfish.WorldOf(t, tough, testfish.PlainFish("plain"))
	bare := stockingtest.GoodTank()
	bare.Cover = 0.1
	a := mustAdd(t, b, stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: 1}}, Tank: bare, Wanted: conflict.Moderate}, Options{})
	if a.Decision != stocking.Proceed || len(a.Fitting) != 0 || len(a.Below) != 1 {
		t.Fatalf("%v, fitting %v, below %v", a.Decision, a.Fitting, a.Below)
	}
	if l := a.Below[0].Limit; l.Statement.Code != stocking.CoverThin || l.With != 0 || a.Below[0].Decision != stocking.Advise {
		t.Errorf("limited by %+v", l)
	}
}

func TestOptionsThatMakeNoSenseAreRefused(t *testing.T) {
	b, zone := testfish.Book(t), species.Zone(9)
	for _, c := range []struct {
		name string
		o    Options
	}{
		{"a negative limit", Options{Limit: -1}},
		{"too many", Options{Limit: MaxLimit + 1}},
		{"an unknown species on offer", Options{InStock: []int{-1}}},
		{"an unknown species to replace", Options{InsteadOf: new(int(b.Snapshot.Len()))}},
		{"an unknown level", Options{Filters: Filters{Zone: &zone}}},
		{"an unknown temperament", Options{Filters: Filters{Temperament: []conflict.WordCode{"grumpy"}}}},
		{"a negative length", Options{Filters: Filters{MaxLengthCM: -1}}},
	} {
		if _, err := Rank(b, neonTank(t), c.o); !isInputError(err) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

func isInputError(err error) bool {
	_, ok := err.(*stocking.InputError)
	return ok
}

func TestLikenessIsWholeForItselfAndTheSameBothWays(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		x := b.Snapshot.At(rapid.IntRange(0, b.Snapshot.Len()-1).Draw(t, "x"))
		y := b.Snapshot.At(rapid.IntRange(0, b.Snapshot.Len()-1).Draw(t, "y"))
		if like := Likeness(x, y); like != Likeness(y, x) || like < 0 || like > 1+1e-9 {
			t.Fatalf("%s and %s: %v and %v", x.ID, y.ID, like, Likeness(y, x))
		}
		if like := Likeness(x, x); math.Abs(like-1) > 1e-9 {
			t.Fatalf("%s is like itself by %v", x.ID, like)
		}
	})
}

func TestAnAdditionThatCrowdsTheOthersIntoConflictSaysWhom(t *testing.T) {
	b, tank := testfish.CrowdingWorld(t), stockingtest.GoodTank()
	s := stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: 1}, {Index: 1, Count: 1}}, Wanted: conflict.Moderate}
	with := mustAdd(t, b, stocking.Stock{Lines: s.Lines, Tank: tank, Wanted: s.Wanted}, Options{})
	if len(with.Fitting) != 1 || with.Fitting[0].Index != 2 || len(with.Below) != 1 || with.Below[0].Limit.With != stocking.TheTank || with.Below[0].Decision != stocking.Hold {
		t.Fatalf("fitting %+v, below %+v", with.Fitting, with.Below)
	}
	if l := with.Below[0].Limit.Statement; l.Actor != b.Snapshot.At(0) || l.Other != b.Snapshot.At(1) {
		t.Errorf("limited by %+v", l)
	}
}

// TestAdditionsAgreeWithTheCheck keeps lists that drawing found to be told otherwise than their
// check tells them.
func TestAdditionsAgreeWithTheCheck(t *testing.T) {
	for _, c := range []struct {
		ensures       string
		there, joins  string
		have          int
		before, after stocking.Decision
	}{
		{"another form completes the group of one that was alone", "Mexican tetra", "Blind cave tetra", 1, stocking.Advise, stocking.Proceed},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			b := testfish.Book(t)
			s := stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, c.there, c.have)}, Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
			s.Tank.Reading = [species.NumParameters]conflict.Reading{}
			index := stockingtest.Some(t, c.joins, 1).Index
			a := mustAdd(t, b, s, Options{InStock: []int{index}})
			if len(a.Fitting) != 1 || a.Decision != c.before || a.Fitting[0].Decision != c.after {
				t.Fatalf("%v, fitting %+v, below %+v", a.Decision, a.Fitting, a.Below)
			}
			if j := stockingtest.Joined(b, s, index, a.Fitting[0].Count); j.TankDecision != c.after {
				t.Errorf("the check says %v", j.TankDecision)
			}
		})
	}
}
