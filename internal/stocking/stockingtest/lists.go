// Package stockingtest has the lists and tanks that tests share, fixed and drawn.
package stockingtest

import (
	"slices"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/testfish"
)

// Some is a line of so many fish of the named species.
func Some(t testing.TB, name string, count int) stocking.Line {
	t.Helper()
	m, err := testfish.Book(t).Snapshot.Resolve(name)
	if err != nil {
		t.Fatal(err)
	}
	return stocking.Line{Index: m.Index, Count: count}
}

// GoodTank is a tank of 120 × 50 × 50 cm in which a plain fish has no complaint.
func GoodTank() *stocking.Tank {
	yes, no, change, source := true, false, 0.25, 0.0
	t := &stocking.Tank{
		Tank:            conflict.Tank{LengthCM: 120, WidthCM: 50, HeightCM: 50, Cover: 0.6, CoverKnown: true},
		TurnoverPerHour: 4, WeeklyChange: &change, Lid: &yes, FilterMature: &yes, Planted: &no,
		Substrate: "sand", SourceNitrate: &source,
	}
	for p, v := range [...]float64{25, 7, 8, 0.5} {
		t.Reading[p] = conflict.Reading{Value: v, Known: true}
	}
	return t
}

func MustJudge(t testing.TB, b *conflict.Book, s stocking.Stock) stocking.Check {
	t.Helper()
	c, err := stocking.Judge(b, s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// FindingOf is the check's finding with a code, or nil.
func FindingOf(c *stocking.Check, code stocking.Code) *stocking.Finding {
	for i := range c.Findings {
		if c.Findings[i].Code() == code {
			return &c.Findings[i]
		}
	}
	return nil
}

// Dozen is a till basket of twelve kinds in a furnished tank.
func Dozen(b testing.TB) stocking.Stock {
	tank := GoodTank()
	tank.Reading[species.Salinity] = conflict.Reading{}
	s := stocking.Stock{Tank: tank, Wanted: stocking.DefaultWanted}
	for i, name := range []string{
		"neon tetra", "cardinal tetra", "corydoras panda", "pterophyllum scalare", "guppy", "oscar", "tiger barb",
		"zebra danio", "otocinclus", "betta splendens", "kribensis", "dwarf gourami",
	} {
		m, err := testfish.Book(b).Snapshot.Resolve(name)
		if err != nil {
			b.Fatal(err)
		}
		s.Lines = append(s.Lines, stocking.Line{Index: m.Index, Count: 1 + i%6})
	}
	return s
}

// LongList is a list of the greatest length, every species of the catalogue several times.
func LongList(b testing.TB) stocking.Stock {
	s := stocking.Stock{Tank: GoodTank(), Wanted: stocking.DefaultWanted}
	n := testfish.Book(b).Snapshot.Len()
	for i := range stocking.MaxLines {
		s.Lines = append(s.Lines, stocking.Line{Index: i % n, Count: 2, LengthCM: 2 + float64(i/n)*2})
	}
	return s
}

// Short is a line of so many fish of a length.
func Short(t testing.TB, name string, count int, cm float64) stocking.Line {
	l := Some(t, name, count)
	l.LengthCM = cm
	return l
}

// Joined judges a list with so many fish of one more species.
func Joined(b *conflict.Book, s stocking.Stock, index, count int) *stocking.Assessment {
	s.Lines = append(slices.Clone(s.Lines), stocking.Line{Index: index, Count: count, Incoming: true})
	j := stocking.NewAssessment(b, &s)
	j.Judge()
	return j
}

// EveryStatement is all that a check says.
func EveryStatement(c *stocking.Check) (out []conflict.Statement) {
	for i := range c.Findings {
		out = append(out, c.Findings[i].Statement)
		if r := c.Findings[i].Remedy; r != nil {
			out = append(out, r.Statement)
		}
	}
	for _, p := range c.Pairings {
		out = append(out, p.Summary)
	}
	for _, s := range c.LeaveOut.Sets {
		for _, l := range s.Lines {
			out = append(out, l.Reason)
		}
	}
	for _, p := range c.LeaveOut.Pinned {
		out = append(out, p.Reason)
	}
	return append(out, c.Assumed...)
}
