package stocking

import (
	"math"
	"slices"
	"strings"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"

	"pgregory.net/rapid"
)

// joined judges a list with so many fish of one more species.
func joined(b *conflict.Book, s Stock, index, count int) *judging {
	s.Lines = append(slices.Clone(s.Lines), Line{Index: index, Count: count, Incoming: true})
	j := prepare(b, &s)
	j.judge()
	return j
}

// drawBook draws the real catalogue or a generated one.
func drawBook(t *rapid.T, real, generated *conflict.Book) *conflict.Book {
	if rapid.Bool().Draw(t, "real") {
		return real
	}
	return generated
}

// drawOffer draws as many neighbouring species as an answer can hold, so that no list
// is cut short however large the catalogue.
func drawOffer(t *rapid.T, b *conflict.Book) []int {
	kinds := b.Snapshot.Len()
	first := rapid.IntRange(0, kinds-1).Draw(t, "first offered")
	offered := make([]int, min(kinds, MaxAdditions))
	for k := range offered {
		offered[k] = (first + k) % kinds
	}
	return offered
}

func TestEveryAdditionIsJudgedAsTheListWouldBe(t *testing.T) {
	real, generated := book(t), generatedBook(t, 160)
	rapid.Check(t, func(t *rapid.T) {
		b := drawBook(t, real, generated)
		s := drawStock(t, b, 5)
		a, err := RankAdditions(b, s, AdditionOptions{Limit: 200, Below: 200})
		if err != nil {
			t.Fatal(err)
		}
		before := prepare(b, &s)
		if before.judge() != a.Decision {
			t.Fatalf("the list is %v, told %v", before.decision, a.Decision)
		}
		for _, x := range slices.Concat(a.Fitting, a.Below) {
			j := joined(b, s, x.Index, x.Count)
			if j.decision != x.Decision {
				t.Fatalf("%d %s: %v, told %v", x.Count, x.Species.ID, j.decision, x.Decision)
			}
			if x.Fits != (x.Limit == nil) || x.Fits && j.decision != a.Decision {
				t.Fatalf("%d %s: fits %v, limit %+v, %v became %v", x.Count, x.Species.ID, x.Fits, x.Limit, a.Decision, j.decision)
			}
			if !x.Fits && a.Decision < Hold && j.decision == a.Decision {
				t.Fatalf("%d %s does not fit and changes nothing: %+v", x.Count, x.Species.ID, x.Limit)
			}
			sameScores(t, j, &x)
			if x.Limit == nil {
				continue
			}
			if text := English(true).Sentence(x.Limit.Statement); len(text) < 8 || strings.ContainsAny(text, "{}") {
				t.Fatalf("%s is limited by %q (%s)", x.Species.ID, text, x.Limit.Statement.Code)
			}
		}
	})
}

func sameScores(t *rapid.T, j *judging, x *Addition) {
	worst, sum := 0.0, 0.0
	for _, p := range j.pairs {
		if j.lines[p.first].Index == x.Index || j.lines[p.second].Index == x.Index {
			worst, sum = max(worst, p.value), sum+p.value
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
	real, generated := book(t), generatedBook(t, 160)
	rapid.Check(t, func(t *rapid.T) {
		b := drawBook(t, real, generated)
		s := drawStock(t, b, 3)
		offered := drawOffer(t, b)
		a, err := RankAdditions(b, s, AdditionOptions{Limit: MaxAdditions, Below: MaxAdditions, InStock: offered})
		if err != nil {
			t.Fatal(err)
		}
		if a.Decision == Hold { // nothing can change it
			return
		}
		fits := map[int]bool{}
		for _, x := range a.Fitting {
			fits[x.Index] = true
		}
		for _, i := range offered {
			if slices.ContainsFunc(s.Lines, func(l Line) bool { return l.Index == i }) {
				continue
			}
			least, _ := groupOf(b.Snapshot.At(i))
			if keeps := joined(b, s, i, least).decision == a.Decision; keeps != fits[i] {
				t.Fatalf("%d %s: keeps the decision %v, listed as fitting %v", least, b.Snapshot.At(i).ID, keeps, fits[i])
			}
		}
		if len(a.Fitting)+len(a.Below) != a.Considered {
			t.Fatalf("%d fit and %d do not, of %d", len(a.Fitting), len(a.Below), a.Considered)
		}
	})
}

func TestAShorterAnswerIsTheStartOfALongerOne(t *testing.T) {
	real, generated := book(t), generatedBook(t, 160)
	rapid.Check(t, func(t *rapid.T) {
		b := drawBook(t, real, generated)
		s := drawStock(t, b, 4)
		var o AdditionOptions
		if rapid.Bool().Draw(t, "instead") {
			i := rapid.IntRange(0, b.Snapshot.Len()-1).Draw(t, "of")
			o.InsteadOf = &i
		}
		o.Limit, o.Below = rapid.IntRange(1, 9).Draw(t, "limit"), rapid.IntRange(1, 9).Draw(t, "below")
		short, err := RankAdditions(b, s, o)
		if err != nil {
			t.Fatal(err)
		}
		o.Limit, o.Below = 200, 200
		long, err := RankAdditions(b, s, o)
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
	b := book(t)
	small := goodTank()
	small.LengthCM, small.WidthCM, small.HeightCM = 60, 30, 30
	small.Reading[species.Salinity] = conflict.Reading{}
	a := mustAdd(t, b, Stock{Tank: small, Wanted: conflict.Moderate}, AdditionOptions{Limit: 200, Below: 200})
	if a.Decision != Proceed || len(a.Fitting) == 0 || a.Considered != b.Snapshot.Len() {
		t.Fatalf("%v, %d fit of %d", a.Decision, len(a.Fitting), a.Considered)
	}
	for _, x := range a.Fitting {
		if j := joined(b, Stock{Tank: small, Wanted: conflict.Moderate}, x.Index, x.Count); j.decision != Proceed {
			t.Errorf("%d %s: %v", x.Count, x.Species.ID, j.decision)
		}
	}
	for _, x := range a.Below {
		if x.Species.ID == "astronotus-ocellatus" && (x.Limit.Statement.Code != TankTooShort || x.Limit.With != TheTank) {
			t.Errorf("an oscar in 60 cm is limited by %+v", x.Limit)
		}
	}
}

func TestALoneFishThatWillHaveCompanyNeedsCover(t *testing.T) {
	tough := altered("bully", func(sp *species.Species) {
		sp.Traits[species.Territory], sp.Traits[species.AggressionOthers] = exactly(20), exactly(0.3)
	})
	b := worldOf(t, tough, plainFish("plain"))
	bare := goodTank()
	bare.Cover = 0.1
	a := mustAdd(t, b, Stock{Lines: []Line{{Index: 0, Count: 1}}, Tank: bare, Wanted: conflict.Moderate}, AdditionOptions{})
	if a.Decision != Proceed || len(a.Fitting) != 0 || len(a.Below) != 1 {
		t.Fatalf("%v, fitting %v, below %v", a.Decision, a.Fitting, a.Below)
	}
	if l := a.Below[0].Limit; l.Statement.Code != CoverThin || l.With != 0 || a.Below[0].Decision != Advise {
		t.Errorf("limited by %+v", l)
	}
}

func TestOptionsThatMakeNoSenseAreRefused(t *testing.T) {
	b, zone := book(t), species.Zone(9)
	for _, c := range []struct {
		name string
		o    AdditionOptions
	}{
		{"a negative limit", AdditionOptions{Limit: -1}},
		{"too many", AdditionOptions{Limit: MaxAdditions + 1}},
		{"an unknown species on offer", AdditionOptions{InStock: []int{-1}}},
		{"an unknown species to replace", AdditionOptions{InsteadOf: new(int(b.Snapshot.Len()))}},
		{"an unknown level", AdditionOptions{Filters: AdditionFilters{Zone: &zone}}},
		{"an unknown temperament", AdditionOptions{Filters: AdditionFilters{Temperament: []conflict.WordCode{"grumpy"}}}},
		{"a negative length", AdditionOptions{Filters: AdditionFilters{MaxLengthCM: -1}}},
	} {
		if _, err := RankAdditions(b, neonTank(t), c.o); !isInputError(err) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

func isInputError(err error) bool {
	_, ok := err.(*InputError)
	return ok
}

func TestLikenessIsWholeForItselfAndTheSameBothWays(t *testing.T) {
	b := book(t)
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
