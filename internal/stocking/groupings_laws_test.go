package stocking

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/synthetic"

	"pgregory.net/rapid"
)

func drawTanks(t *rapid.T, most int) []Tank {
	tanks := make([]Tank, rapid.IntRange(1, most).Draw(t, "tanks"))
	for i := range tanks {
		if d := drawTank(t); d != nil {
			tanks[i] = *d
		}
	}
	return tanks
}

// judged is a group's own check.
func judged(b *conflict.Book, g *Groupings, lines []int, tank *Tank) Decision {
	s := Stock{Tank: tank, Wanted: g.Wanted}
	for _, i := range lines {
		s.Lines = append(s.Lines, g.Lines[i])
	}
	return prepare(b, &s).judge()
}

func TestEveryGroupPassesItsOwnCheckAndEveryLineIsAccountedFor(t *testing.T) {
	b := book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawStock(t, b, 9)
		if rapid.Bool().Draw(t, "few kinds") {
			for i := range s.Lines {
				s.Lines[i].Index -= s.Lines[i].Index % 40
			}
		}
		var tanks []Tank
		if rapid.Bool().Draw(t, "given") {
			tanks = drawTanks(t, 4)
		}
		g, err := FindGroupings(b, s, tanks, GroupingOptions{})
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
			if text := English(true).Sentence(u.Reason); len(text) < 8 || strings.ContainsAny(text, "{}") {
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

func passes(t *rapid.T, b *conflict.Book, g *Groupings, group *Grouping, tanks []Tank) {
	tank := (*Tank)(nil)
	if g.Given {
		tank = &tanks[group.Tank]
	} else {
		tank = TankOf(*group.Size)
		if d := judged(b, g, group.Lines, nil); d == Hold {
			t.Fatalf("lines %v are a hold in customary conditions", group.Lines)
		}
	}
	if d := judged(b, g, group.Lines, tank); d == Hold || d != group.Decision || d != group.Summary.Decision {
		t.Fatalf("lines %v in %+v: %v, told %v", group.Lines, tank, d, group.Decision)
	}
}

func TestGroupingsDoNotDependOnTheOrderOfTheList(t *testing.T) {
	b := book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawStock(t, b, 8)
		var tanks []Tank
		if rapid.Bool().Draw(t, "given") {
			tanks = drawTanks(t, 3)
		}
		other := s
		other.Lines = rapid.Permutation(s.Lines).Draw(t, "order")
		one, err := FindGroupings(b, s, tanks, GroupingOptions{})
		if err != nil {
			t.Fatal(err)
		}
		two, err := FindGroupings(b, other, tanks, GroupingOptions{})
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

// drawKinds draws a list in which no species comes twice.
func drawKinds(t *rapid.T, b *conflict.Book, most int) []Line {
	lines := drawLines(t, b, most)
	slices.SortFunc(lines, func(x, y Line) int { return x.Index - y.Index })
	return slices.CompactFunc(lines, func(x, y Line) bool { return x.Index == y.Index })
}

// roomy reports by trying every standard tank whether lines can share one.
func roomy(b *conflict.Book, s Stock) bool {
	if prepare(b, &s).judge() == Hold {
		return false
	}
	for _, size := range conflict.StandardTanks {
		s.Tank = TankOf(size)
		if j := prepare(b, &s); j.judge() != Hold && (len(s.Lines) == 1 || !crowdedIn(j)) {
			return true
		}
	}
	return false
}

// fewest is the least number of groups, by trying every way to add one line after the
// other to the groups there are or to a new one; lines that fit nowhere are passed over.
func fewest(lines []Line, groups [][]Line, best int, fits func([]Line) bool) int {
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
	b := book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := Stock{Lines: drawKinds(t, b, 7), Wanted: rapid.SampledFrom([]conflict.Level{conflict.Low, conflict.Moderate, conflict.High}).Draw(t, "wanted")}
		g, err := FindGroupings(b, s, nil, GroupingOptions{})
		if err != nil {
			t.Fatal(err)
		}
		known := map[string]bool{}
		least := fewest(s.Lines, nil, len(s.Lines)+1, func(lines []Line) bool {
			key := fmt.Sprint(lines)
			if _, ok := known[key]; !ok {
				known[key] = roomy(b, Stock{Lines: lines, Wanted: s.Wanted})
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
func mostPlaced(b *conflict.Book, lines []Line, tanks []Tank, wanted conflict.Level) (lost, cost float64) {
	lost, cost = 1e9, 1e9
	held := make([][]Line, len(tanks))
	ok := func(bin int, lines []Line) (*judging, bool) {
		j := prepare(b, &Stock{Lines: lines, Tank: &tanks[bin], Wanted: wanted})
		return j, j.judge() != Hold && (len(lines) == 1 || !crowdedIn(j))
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
			try(k+1, l, c+float64(alone.advice()))
			held[bin] = before
		}
		try(k+1, l+1, c)
	}
	try(0, 0, 0)
	return lost, cost
}

func TestNoSplitOverGivenTanksPlacesMore(t *testing.T) {
	b := book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := Stock{Lines: drawKinds(t, b, 5), Wanted: rapid.SampledFrom([]conflict.Level{conflict.Low, conflict.Moderate, conflict.High}).Draw(t, "wanted")}
		tanks := drawTanks(t, 3)
		g, err := FindGroupings(b, s, tanks, GroupingOptions{})
		if err != nil {
			t.Fatal(err)
		}
		lost, cost := mostPlaced(b, s.Lines, tanks, s.Wanted)
		got := 0.0
		for i := range g.Groups {
			for _, line := range g.Groups[i].Lines {
				j := prepare(b, &Stock{Lines: g.Lines[line : line+1], Tank: &tanks[g.Groups[i].Tank], Wanted: s.Wanted})
				j.judge()
				got += float64(j.advice())
			}
		}
		if g.Lost != lost || got != cost || !g.Optimal || g.LostBound != lost {
			t.Fatalf("lost %v with advice %v (optimal %v), trying all ways gives %v with %v", g.Lost, got, g.Optimal, lost, cost)
		}
	})
}

func generatedBook(t testing.TB, n int) *conflict.Book {
	t.Helper()
	snap, err := species.NewSnapshot(1, synthetic.Catalogue(1, n))
	if err != nil {
		t.Fatal(err)
	}
	m, err := conflict.Default()
	if err != nil {
		t.Fatal(err)
	}
	return conflict.NewBook(m, snap)
}

func TestLongListsAreSplitWithProof(t *testing.T) {
	for _, c := range []struct {
		name string
		b    *conflict.Book
	}{{"the catalogue", book(t)}, {"a generated world", generatedBook(t, 300)}} {
		rapid.Check(t, func(t *rapid.T) {
			s := Stock{Wanted: conflict.Moderate}
			step := rapid.IntRange(1, c.b.Snapshot.Len()/ExactGroupings).Draw(t, "step")
			for i := range ExactGroupings {
				s.Lines = append(s.Lines, Line{Index: i * step})
			}
			if g, err := FindGroupings(c.b, s, nil, GroupingOptions{}); err != nil || !g.Optimal {
				t.Fatalf("%s, step %d: %d groups, at least %d, %v", c.name, step, len(g.Groups), g.LowerBound, err)
			}
		})
	}
}
