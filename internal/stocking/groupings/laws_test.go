package groupings

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"

	"pgregory.net/rapid"
)

// judged is a group's own check.
func judged(b *conflict.Book, g *Groupings, lines []int, tank *stocking.Tank) stocking.Decision {
	s := stocking.Stock{Tank: tank, Wanted: g.Wanted}
	for _, i := range lines {
		s.Lines = append(s.Lines, g.Lines[i])
	}
	return stocking.NewAssessment(b, &s).Judge()
}

func TestEveryGroupPassesItsOwnCheckAndEveryLineIsAccountedFor(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 9)
		if rapid.Bool().Draw(t, "few kinds") {
			for i := range s.Lines {
				s.Lines[i].Index -= s.Lines[i].Index % 40
			}
		}
		var tanks []stocking.Tank
		if rapid.Bool().Draw(t, "given") {
			tanks = stockingtest.DrawTanks(t, 4)
		}
		g, err := Find(b, s, tanks, Options{})
		if err != nil {
			t.Fatal(err)
		}
		seen := make([]int, len(g.Lines))
		for i := range g.Groups {
			group := &g.Groups[i]
			for _, line := range group.Lines {
				seen[line]++
			}
			passes(t, b, &g, group, tanks)
		}
		for _, u := range g.Unplaced {
			for _, line := range u.Lines {
				seen[line]++
			}
			if text := stocking.English(true).Sentence(u.Reason); len(text) < 8 || strings.ContainsAny(text, "{}") {
				t.Fatalf("the reason is %q (%s)", text, u.Reason.Code)
			}
			if slices.Contains(u.Lines, u.With) || u.With >= len(g.Lines) {
				t.Fatalf("%v is unplaced because of line %d", u.Lines, u.With)
			}
		}
		for line, n := range seen {
			if n != 1 {
				t.Fatalf("line %d is named %d times", line, n)
			}
		}
	})
}

func passes(t *rapid.T, b *conflict.Book, g *Groupings, group *Grouping, tanks []stocking.Tank) {
	tank := (*stocking.Tank)(nil)
	if g.Given {
		tank = &tanks[group.Tank]
	} else {
		tank = stocking.TankOf(*group.Size)
		if d := judged(b, g, group.Lines, nil); d == stocking.Hold {
			t.Fatalf("lines %v are a hold in customary conditions", group.Lines)
		}
	}
	if d := judged(b, g, group.Lines, tank); d == stocking.Hold || d != group.Decision || d != group.Summary.Decision {
		t.Fatalf("lines %v in %+v: %v, told %v", group.Lines, tank, d, group.Decision)
	}
}

func TestGroupingsDoNotDependOnTheOrderOfTheList(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 8)
		var tanks []stocking.Tank
		if rapid.Bool().Draw(t, "given") {
			tanks = stockingtest.DrawTanks(t, 3)
		}
		other := s
		other.Lines = rapid.Permutation(s.Lines).Draw(t, "order")
		one, err := Find(b, s, tanks, Options{})
		if err != nil {
			t.Fatal(err)
		}
		two, err := Find(b, other, tanks, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range one.Lines {
			one.Lines[i].Refs, two.Lines[i].Refs = nil, nil
		}
		if !reflect.DeepEqual(one, two) {
			t.Fatalf("another order, another answer:\n%+v\n%+v", one, two)
		}
	})
}

// roomy reports by trying every standard tank whether lines can share one.
func roomy(b *conflict.Book, s stocking.Stock) bool {
	if stocking.NewAssessment(b, &s).Judge() == stocking.Hold {
		return false
	}
	for _, size := range conflict.StandardTanks {
		s.Tank = stocking.TankOf(size)
		if j := stocking.NewAssessment(b, &s); j.Judge() != stocking.Hold && (len(s.Lines) == 1 || !j.Crowded()) {
			return true
		}
	}
	return false
}

// fewest is the least number of groups, by trying every way to add one line after the
// other to the groups there are or to a new one; lines that fit nowhere are passed over.
func fewest(lines []stocking.Line, groups [][]stocking.Line, best int, fits func([]stocking.Line) bool) int {
	if len(groups) >= best {
		return best
	}
	if len(lines) == 0 {
		return len(groups)
	}
	if !fits(lines[:1]) {
		return fewest(lines[1:], groups, best, fits)
	}
	for k := range groups {
		with := append(slices.Clone(groups[k]), lines[0])
		if !fits(with) {
			continue
		}
		next := slices.Clone(groups)
		next[k] = with
		best = min(best, fewest(lines[1:], next, best, fits))
	}
	return min(best, fewest(lines[1:], append(slices.Clone(groups), lines[:1]), best, fits))
}

func TestNoSplitNeedsFewerTanks(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stocking.Stock{Lines: stockingtest.DrawKinds(t, b, 7), Wanted: rapid.SampledFrom([]conflict.Level{conflict.Low, conflict.Moderate, conflict.High}).Draw(t, "wanted")}
		g, err := Find(b, s, nil, Options{})
		if err != nil {
			t.Fatal(err)
		}
		known := map[string]bool{}
		least := fewest(s.Lines, nil, len(s.Lines)+1, func(lines []stocking.Line) bool {
			key := fmt.Sprint(lines)
			if _, ok := known[key]; !ok {
				known[key] = roomy(b, stocking.Stock{Lines: lines, Wanted: s.Wanted})
			}
			return known[key]
		})
		if len(g.Groups) != least || !g.Optimal || g.LowerBound != least {
			t.Fatalf("%d groups (optimal %v, at least %d), trying all ways gives %d", len(g.Groups), g.Optimal, g.LowerBound, least)
		}
	})
}

// mostPlaced is the least weight lost and, of those, the least advice, by trying every
// tank for every line.
func mostPlaced(b *conflict.Book, lines []stocking.Line, tanks []stocking.Tank, wanted conflict.Level) (lost, cost float64) {
	lost, cost = 1e9, 1e9
	held := make([][]stocking.Line, len(tanks))
	ok := func(bin int, lines []stocking.Line) (*stocking.Assessment, bool) {
		j := stocking.NewAssessment(b, &stocking.Stock{Lines: lines, Tank: &tanks[bin], Wanted: wanted})
		return j, j.Judge() != stocking.Hold && (len(lines) == 1 || !j.Crowded())
	}
	var try func(k int, l, c float64)
	try = func(k int, l, c float64) {
		if l > lost || l == lost && c >= cost {
			return
		}
		if k == len(lines) {
			lost, cost = l, c
			return
		}
		for bin := range tanks {
			with := append(slices.Clone(held[bin]), lines[k])
			alone, fits := ok(bin, lines[k:k+1])
			if _, together := ok(bin, with); !fits || !together {
				continue
			}
			before := held[bin]
			held[bin] = with
			try(k+1, l, c+float64(alone.AdviceCount()))
			held[bin] = before
		}
		try(k+1, l+1, c)
	}
	try(0, 0, 0)
	return lost, cost
}

func TestNoSplitOverGivenTanksPlacesMore(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stocking.Stock{Lines: stockingtest.DrawKinds(t, b, 5), Wanted: rapid.SampledFrom([]conflict.Level{conflict.Low, conflict.Moderate, conflict.High}).Draw(t, "wanted")}
		tanks := stockingtest.DrawTanks(t, 3)
		g, err := Find(b, s, tanks, Options{})
		if err != nil {
			t.Fatal(err)
		}
		lost, cost := mostPlaced(b, s.Lines, tanks, s.Wanted)
		got := 0.0
		for i := range g.Groups {
			for _, line := range g.Groups[i].Lines {
				j := stocking.NewAssessment(b, &stocking.Stock{Lines: g.Lines[line : line+1], Tank: &tanks[g.Groups[i].Tank], Wanted: s.Wanted})
				j.Judge()
				got += float64(j.AdviceCount())
			}
		}
		if g.Lost != lost || got != cost || !g.Optimal || g.LostBound != lost {
			t.Fatalf("lost %v with advice %v (optimal %v), trying all ways gives %v with %v", g.Lost, got, g.Optimal, lost, cost)
		}
	})
}

func TestLongListsAreSplitWithProof(t *testing.T) {
	for _, c := range []struct {
		name string
		b    *conflict.Book
	}{{"the catalogue", testfish.Book(t)}, {"a generated world", testfish.GeneratedBook(t, 300)}} {
		rapid.Check(t, func(t *rapid.T) {
			s := stocking.Stock{Wanted: conflict.Moderate}
			step := rapid.IntRange(1, c.b.Snapshot.Len()/ExactLines).Draw(t, "step")
			for i := range ExactLines {
				s.Lines = append(s.Lines, stocking.Line{Index: i * step})
			}
			if g, err := Find(c.b, s, nil, Options{}); err != nil || !g.Optimal {
				t.Fatalf("%s, step %d: %d groups, at least %d, %v", c.name, step, len(g.Groups), g.LowerBound, err)
			}
		})
	}
}
