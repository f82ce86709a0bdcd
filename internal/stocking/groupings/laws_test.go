package groupings

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"

	"pgregory.net/rapid"
)

// together is a group as a check would judge it once all live in its tank.
func together(b *conflict.Book, s *stocking.Stock) *stocking.Assessment {
	j := stocking.NewAssessment(b, s)
	j.Together = true
	return j
}

// judged is a group's own check.
func judged(b *conflict.Book, g *Groupings, lines []int, tank *stocking.Tank) stocking.Decision {
	s := stocking.Stock{Tank: tank, Wanted: g.Wanted}
	for _, i := range lines {
		s.Lines = append(s.Lines, g.Lines[i])
	}
	return together(b, &s).Judge()
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
			if text := wording.English(true).Sentence(u.Reason); len(text) < 8 || strings.ContainsAny(text, "{}") {
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

// roomy reports whether the check of some lines in a tank of some standard size allows them
// to share it; alone is set for one unit.
func roomy(b *conflict.Book, s stocking.Stock, alone bool) bool {
	for _, size := range conflict.StandardTanks {
		s.Tank = stocking.TankOf(size)
		if j := together(b, &s); j.Judge() != stocking.Hold && (alone || !j.Crowded()) {
			return true
		}
	}
	return false
}

// unitsOf are what is never parted: the lines of a shoal, and every other line.
func unitsOf(b *conflict.Book, lines []stocking.Line) (units [][]stocking.Line) {
	shoal := map[int]int{}
	for _, l := range lines {
		if at, ok := shoal[l.Index]; ok {
			units[at] = append(units[at], l)
			continue
		}
		if stocking.Shoals(b.Snapshot.At(l.Index)) {
			shoal[l.Index] = len(units)
		}
		units = append(units, []stocking.Line{l})
	}
	return units
}

// eachSplit tries every way to divide units into groups, each given by its number.
func eachSplit(units int, try func(group []int, groups int)) {
	group := make([]int, units)
	var next func(u, groups int)
	next = func(u, groups int) {
		if u == units {
			try(group, groups)
			return
		}
		for group[u] = 0; group[u] <= groups; group[u]++ {
			next(u+1, max(groups, group[u]+1))
		}
	}
	next(0, 0)
}

// asked remembers what a check of some units said.
type asked map[string]bool

func (a asked) fits(units [][]stocking.Line, group []int, of int, check func(lines []stocking.Line, alone bool) bool) bool {
	var lines []stocking.Line
	n := 0
	for u, at := range group {
		if at == of {
			lines, n = append(lines, units[u]...), n+1
		}
	}
	key := fmt.Sprint(of, lines)
	if _, ok := a[key]; !ok && n > 0 {
		a[key] = check(lines, n == 1)
	}
	return n == 0 || a[key]
}

// fewest is the least number of groups that units can be divided into, and how many units
// cannot be kept even alone, by trying every way and judging every group in every tank.
func fewest(b *conflict.Book, units [][]stocking.Line, wanted conflict.Level) (least, never int) {
	var keepable [][]stocking.Line
	for _, u := range units {
		if roomy(b, stocking.Stock{Lines: u, Wanted: wanted}, true) {
			keepable = append(keepable, u)
		}
	}
	memo := map[string]bool{}
	least = len(keepable)
	eachSplit(len(keepable), func(group []int, groups int) {
		for of := range groups {
			if groups >= least || !asked(memo).fits(keepable, group, of, func(lines []stocking.Line, alone bool) bool {
				return roomy(b, stocking.Stock{Lines: lines, Wanted: wanted}, alone)
			}) {
				return
			}
		}
		least = min(least, groups)
	})
	return least, len(units) - len(keepable)
}

func TestNoSplitNeedsFewerTanks(t *testing.T) {
	b := testfish.Book(t)
	var proved, open int
	rapid.Check(t, func(t *rapid.T) {
		s := stocking.Stock{Lines: stockingtest.DrawLines(t, b, 6), Wanted: rapid.SampledFrom([]conflict.Level{conflict.Low, conflict.Moderate, conflict.High}).Draw(t, "wanted")}
		g, err := Find(b, s, nil, Options{})
		if err != nil {
			t.Fatal(err)
		}
		units := unitsOf(b, g.Lines)
		least, never := fewest(b, units, s.Wanted)
		if len(g.Groups) < least || len(g.Unplaced) != never || g.LowerBound > least || g.Optimal != (g.LowerBound == len(g.Groups)) {
			t.Fatalf("%d groups (optimal %v, at least %d), %d cannot be kept; trying all ways gives %d and %d",
				len(g.Groups), g.Optimal, g.LowerBound, len(g.Unplaced), least, never)
		}
		switch {
		case g.Optimal:
			proved++
		case !severalLines(g.Lines):
			t.Fatalf("%d groups of lines of different species are not proved, at least %d", len(g.Groups), g.LowerBound)
		default:
			open++
		}
	})
	if proved <= open {
		t.Errorf("%d splits are proved, %d not", proved, open)
	}
}

// severalLines reports a species with several lines.
func severalLines(lines []stocking.Line) bool {
	for i := 1; i < len(lines); i++ {
		if lines[i].Index == lines[i-1].Index {
			return true
		}
	}
	return false
}

// mostPlaced is the least weight lost and, of those, the least advice about each unit alone in
// its tank, by trying every tank for every unit.
func mostPlaced(b *conflict.Book, units [][]stocking.Line, tanks []stocking.Tank, wanted conflict.Level) (lost, cost float64) {
	lost, cost = math.Inf(1), math.Inf(1)
	memo := map[string]bool{}
	at := make([]int, len(units)) // 0 for no tank, else its place from 1
	judge := func(bin int, lines []stocking.Line) *stocking.Assessment {
		j := together(b, &stocking.Stock{Lines: lines, Tank: &tanks[bin], Wanted: wanted})
		j.Judge()
		return j
	}
	var try func(u int)
	try = func(u int) {
		if u < len(units) {
			for at[u] = 0; at[u] <= len(tanks); at[u]++ {
				try(u + 1)
			}
			return
		}
		l, c := 0.0, 0.0
		for u := range units {
			if at[u] == 0 {
				for _, line := range units[u] {
					l += line.Weight
				}
				continue
			}
			alone := judge(at[u]-1, units[u])
			if alone.Decision == stocking.Hold {
				return
			}
			c += float64(alone.AdviceCount())
		}
		for bin := range tanks {
			if !asked(memo).fits(units, at, bin+1, func(lines []stocking.Line, alone bool) bool {
				j := judge(bin, lines)
				return j.Decision < stocking.Hold && (alone || !j.Crowded())
			}) {
				return
			}
		}
		if l < lost || l == lost && c < cost {
			lost, cost = l, c
		}
	}
	try(0)
	return lost, cost
}

func TestNoSplitOverGivenTanksPlacesMore(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stocking.Stock{Lines: stockingtest.DrawLines(t, b, 4), Wanted: rapid.SampledFrom([]conflict.Level{conflict.Low, conflict.Moderate, conflict.High}).Draw(t, "wanted")}
		tanks := stockingtest.DrawTanks(t, 3)
		g, err := Find(b, s, tanks, Options{})
		if err != nil {
			t.Fatal(err)
		}
		units := unitsOf(b, g.Lines)
		lost, cost := mostPlaced(b, units, tanks, s.Wanted)
		got := 0.0
		for i := range g.Groups {
			var lines []stocking.Line
			for _, line := range g.Groups[i].Lines {
				lines = append(lines, g.Lines[line])
			}
			for _, unit := range unitsOf(b, lines) {
				j := together(b, &stocking.Stock{Lines: unit, Tank: &tanks[g.Groups[i].Tank], Wanted: s.Wanted})
				j.Judge()
				got += float64(j.AdviceCount())
			}
		}
		if g.Lost < lost || g.LostBound > lost || g.Optimal && (g.Lost != lost || got != cost) || !g.Optimal && !severalLines(g.Lines) {
			t.Fatalf("lost %v of at least %v with advice %v (optimal %v), trying all ways gives %v with %v", g.Lost, g.LostBound, got, g.Optimal, lost, cost)
		}
	})
}

// TestSplitsAgreeWithTheChecksOfTheirTanks keeps lists that brute force once found told
// otherwise than their checks tell them.
func TestSplitsAgreeWithTheChecksOfTheirTanks(t *testing.T) {
	b := testfish.Book(t)
	for _, c := range []struct {
		ensures string
		lines   []stocking.Line
	}{
		{"a kind that needs a larger tank than is customary can be kept", []stocking.Line{stockingtest.Some(t, "maylandia-callainos", 9)}},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			g := mustGroup(t, b, stocking.Stock{Lines: c.lines, Wanted: stocking.DefaultWanted})
			if len(g.Groups) != 1 || len(g.Unplaced) != 0 || !g.Optimal {
				t.Fatalf("%d groups, unplaced %v", len(g.Groups), g.Unplaced)
			}
			if d := judged(b, &g, g.Groups[0].Lines, stocking.TankOf(*g.Groups[0].Size)); d == stocking.Hold || d != g.Groups[0].Decision {
				t.Errorf("%v in %v, told %v", d, *g.Groups[0].Size, g.Groups[0].Decision)
			}
		})
	}
}

// TestTheLastStandardTankIsTheLargestEveryWay is what lets it stand for all of them.
func TestTheLastStandardTankIsTheLargestEveryWay(t *testing.T) {
	last := conflict.StandardTanks[len(conflict.StandardTanks)-1]
	for _, size := range conflict.StandardTanks {
		if size.LengthCM > last.LengthCM || size.WidthCM > last.WidthCM || size.HeightCM > last.HeightCM {
			t.Errorf("%v is larger one way than %v", size, last)
		}
	}
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
