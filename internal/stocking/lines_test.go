package stocking_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
)

func TestLinesAreMergedOnlyWhenAlike(t *testing.T) {
	b := testfish.WorldOf(t, testfish.Altered("Fish a", group(4, 6)), testfish.PlainFish("Fish b"))
	for _, c := range []struct {
		ensures string
		lines   []stocking.Line
		counts  []int
		refs    [][]int
	}{
		{"like lines add up", []stocking.Line{{Count: 2}, {Count: 3}}, []int{5}, [][]int{{0, 1}}},
		{"sexes stay apart", []stocking.Line{{Count: 2, Sex: species.Female}, {Count: 3, Sex: species.Male}}, []int{3, 2}, [][]int{{1}, {0}}},
		{"lengths stay apart", []stocking.Line{{Count: 2, LengthCM: 3}, {Count: 3}}, []int{3, 2}, [][]int{{1}, {0}}},
		{"ages stay apart", []stocking.Line{{Count: 2, AgeMonth: 3}, {Count: 3}}, []int{3, 2}, [][]int{{1}, {0}}},
		{"dispositions stay apart", []stocking.Line{{Count: 2, Observed: conflict.Calmer, MonthsObserved: 3}, {Count: 3}}, []int{2, 3}, [][]int{{0}, {1}}},
		{"a disposition never observed is none", []stocking.Line{{Count: 2, Observed: conflict.Calmer}, {Count: 3}}, []int{5}, [][]int{{0, 1}}},
		{"residents and incoming stay apart", []stocking.Line{{Count: 2, Incoming: true}, {Count: 3}}, []int{3, 2}, [][]int{{1}, {0}}},
		{"those that must stay do", []stocking.Line{{Count: 2, Keep: true}, {Count: 3}}, []int{3, 2}, [][]int{{1}, {0}}},
		{"a weight of one is no weight", []stocking.Line{{Count: 2, Weight: 1}, {Count: 3}}, []int{5}, [][]int{{0, 1}}},
		{"other weights stay apart", []stocking.Line{{Count: 2, Weight: 4}, {Count: 3}}, []int{3, 2}, [][]int{{1}, {0}}},
		{"no count is the customary group when it is added", []stocking.Line{{}, {Count: 3}}, []int{9}, [][]int{{0, 1}}},
		{"no count alone stays open", []stocking.Line{{}}, []int{0}, [][]int{{0}}},
		{"the caller's own places are kept", []stocking.Line{{Count: 2, Refs: []int{7}}, {Count: 3, Refs: []int{1}}}, []int{5}, [][]int{{1, 7}}},
		{"species are in order of id", []stocking.Line{{Index: 1, Count: 2}, {Index: 0, Count: 3}}, []int{3, 2}, [][]int{{1}, {0}}},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			before := slices.Clone(c.lines)
			got := stockingtest.MustJudge(t, b, stocking.Stock{Lines: c.lines, Wanted: stocking.DefaultWanted}).Lines
			if len(got) != len(c.counts) {
				t.Fatalf("lines %+v", got)
			}
			for i := range got {
				if got[i].Count != c.counts[i] || !slices.Equal(got[i].Refs, c.refs[i]) {
					t.Errorf("line %d: count %d, refs %v; want %d, %v", i, got[i].Count, got[i].Refs, c.counts[i], c.refs[i])
				}
			}
			for i := range before {
				if !slices.Equal(before[i].Refs, c.lines[i].Refs) || before[i].Count != c.lines[i].Count {
					t.Error("the caller's list was changed")
				}
			}
		})
	}
}

func TestOneFishHasNoPairingOfItsOwn(t *testing.T) {
	b := testfish.WorldOf(t, testfish.Altered("Fish a", group(4, 6)), testfish.PlainFish("Fish b"))
	for _, c := range []struct {
		ensures string
		lines   []stocking.Line
		want    [][2]int
	}{
		{"a single fish has none", one(1), nil},
		{"two fish have one", one(2), [][2]int{{0, 0}}},
		{"a customary group has one", one(0), [][2]int{{0, 0}}},
		{"a customary single fish has none", []stocking.Line{{Index: 1}}, nil},
		{"two lines of a species are judged against each other", sexed(1, 1), [][2]int{{0, 1}}},
		{"and each of several fish among its own", sexed(2, 2), [][2]int{{0, 0}, {0, 1}, {1, 1}}},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			var got [][2]int
			for _, p := range stockingtest.MustJudge(t, b, stocking.Stock{Lines: c.lines, Wanted: stocking.DefaultWanted}).Pairings {
				got = append(got, [2]int{p.First, p.Second})
			}
			slices.SortFunc(got, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
			if !slices.Equal(got, c.want) {
				t.Errorf("got %v, want %v", got, c.want)
			}
		})
	}
}

func TestBadInputIsNamedAndNothingIsJudged(t *testing.T) {
	b := testfish.WorldOf(t, testfish.PlainFish("Fish a"))
	bad := 2.0
	for _, c := range []struct {
		ensures string
		s       stocking.Stock
		field   string
	}{
		{"an empty list", stocking.Stock{}, "lines"},
		{"201 lines", stocking.Stock{Lines: make([]stocking.Line, 201)}, "lines"},
		{"a negative count", stocking.Stock{Lines: one(-1)}, "count"},
		{"an absurd count", stocking.Stock{Lines: one(stocking.MaxCount + 1)}, "count"},
		{"a species that is not there", stocking.Stock{Lines: []stocking.Line{{Index: 1}}}, "species"},
		{"a negative species", stocking.Stock{Lines: []stocking.Line{{Index: -1}}}, "species"},
		{"a sex that does not exist", stocking.Stock{Lines: []stocking.Line{{Sex: 9}}}, "sex"},
		{"a negative length", stocking.Stock{Lines: []stocking.Line{{LengthCM: -3}}}, "length_cm"},
		{"a length that is not a number", stocking.Stock{Lines: []stocking.Line{{LengthCM: math.NaN()}}}, "length_cm"},
		{"an endless age", stocking.Stock{Lines: []stocking.Line{{AgeMonth: math.Inf(1)}}}, "age_months"},
		{"an unknown disposition", stocking.Stock{Lines: []stocking.Line{{Observed: 5}}}, "disposition"},
		{"a negative weight", stocking.Stock{Lines: []stocking.Line{{Weight: -1}}}, "weight"},
		{"a level beyond severe", stocking.Stock{Lines: one(1), Wanted: 9}, "wanted_level"},
		{"a negative edge", stocking.Stock{Lines: one(1), Tank: &stocking.Tank{Tank: conflict.Tank{LengthCM: -1}}}, "length"},
		{"cover above full", stocking.Stock{Lines: one(1), Tank: &stocking.Tank{Tank: conflict.Tank{Cover: 2, CoverKnown: true}}}, "cover"},
		{"changing more than all the water", stocking.Stock{Lines: one(1), Tank: &stocking.Tank{WeeklyChange: &bad}}, "weekly_change"},
		{"boiling water", stocking.Stock{Lines: one(1), Tank: &stocking.Tank{Tank: conflict.Tank{Reading: [4]conflict.Reading{{Value: 100, Known: true}}}}}, "temperature"},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			_, err := stocking.Judge(b, c.s)
			var input *stocking.InputError
			if !errors.As(err, &input) || input.Problems[0].Field != c.field || input.Error() == "" {
				t.Errorf("got %v, want a problem with %s", err, c.field)
			}
		})
	}
}
