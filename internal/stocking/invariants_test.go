package stocking_test

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/remedies"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"

	"pgregory.net/rapid"
)

// withoutRefs is a check as it would be for any order of the same list.
func withoutRefs(c stocking.Check) stocking.Check {
	c.Lines = slices.Clone(c.Lines)
	for i := range c.Lines {
		c.Lines[i].Refs = nil
	}
	return c
}

func TestTheOrderOfTheListNeverMatters(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 8)
		first, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		other := s
		other.Lines = rapid.Permutation(s.Lines).Draw(t, "order")
		second, err := stocking.Judge(b, other)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(withoutRefs(first), withoutRefs(second)) {
			t.Fatalf("another order, another answer:\n%+v\n%+v", first, second)
		}
	})
}

// pairKey finds the same pairing in two lists.
type pairKey struct{ first, second lineKey }

type lineKey struct {
	index, count   int
	sex            uint8
	length, months float64
	mood           conflict.Disposition
	incoming       bool
}

func keyOf(l *stocking.Line) lineKey {
	return lineKey{l.Index, l.Count, uint8(l.Sex), l.LengthCM, l.MonthsObserved, l.Observed, l.Incoming}
}

func scores(c *stocking.Check) map[pairKey]float64 {
	out := make(map[pairKey]float64, len(c.Pairings))
	for _, p := range c.Pairings {
		k := pairKey{keyOf(&c.Lines[p.First]), keyOf(&c.Lines[p.Second])}
		out[k] = max(out[k], p.Score.Value)
	}
	return out
}

func TestAFurtherSpeciesNeverImprovesAnything(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 6)
		before, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		extra := stockingtest.DrawLine(t, b, "extra")
		for _, l := range s.Lines {
			if conflict.OneKind(b.Snapshot.At(l.Index), b.Snapshot.At(extra.Index)) {
				t.Skip("the same kind, which may complete its group")
			}
		}
		larger := s
		larger.Lines = append(slices.Clone(s.Lines), extra)
		after, err := stocking.Judge(b, larger)
		if err != nil {
			t.Fatal(err)
		}
		if after.TankDecision < before.TankDecision {
			t.Fatalf("the tank improved from %v to %v", before.TankDecision, after.TankDecision)
		}
		if sameQuestion(s.Lines, extra) && (after.Decision < before.Decision || after.SpeciesDecision < before.SpeciesDecision) {
			t.Fatalf("decision improved from %v to %v", before.Decision, after.Decision)
		}
		now := scores(&after)
		for k, v := range scores(&before) {
			if now[k] < v-1e-9 {
				t.Fatalf("pairing improved from %v to %v", v, now[k])
			}
		}
		noFindingLost(t, &before, &after)
	})
}

// sameQuestion reports whether the question stays the same: whether a tank is all right is another
// question than whether somebody may join it.
func sameQuestion(lines []stocking.Line, extra stocking.Line) bool {
	joins := func(l stocking.Line) bool { return l.Incoming }
	return !extra.Incoming || slices.ContainsFunc(lines, joins)
}

// noFindingLost checks that every finding that counts is still there, as grave or graver.
func noFindingLost(t *rapid.T, before, after *stocking.Check) {
	for i := range before.Findings {
		f := &before.Findings[i]
		still := slices.ContainsFunc(after.Findings, func(g stocking.Finding) bool {
			return g.Severity >= f.Severity && (g.Code() == f.Code() || g.Statement.Actor == f.Statement.Actor)
		})
		if stocking.IsAhead(f.Code()) {
			still = still || comeAbout(f, after)
		}
		if f.Severity > stocking.Note && !still {
			t.Fatalf("lost %s", f.Code())
		}
	}
}

// comeAbout reports whether what a finding foresees is so today.
func comeAbout(f *stocking.Finding, c *stocking.Check) bool {
	level := conflict.Low
	for _, e := range f.Statement.Evidence {
		if e.Name == "level" {
			level = conflict.Level(e.Value)
		}
	}
	return slices.ContainsFunc(c.Pairings, func(p stocking.ListPairing) bool {
		return p.Score.Level >= level && (p.Summary.Actor == f.Statement.Actor || p.Summary.Other == f.Statement.Actor)
	})
}

func TestPairsAndSharedWaterNeverDisagree(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		c, err := stocking.Judge(b, stockingtest.DrawStock(t, b, 8))
		if err != nil {
			t.Fatal(err)
		}
		apart := false
		for i := range c.Lines {
			for k := range c.Lines[:i] {
				_, _, ok := conflict.SharedWater(b.Snapshot.At(c.Lines[i].Index), b.Snapshot.At(c.Lines[k].Index))
				apart = apart || !ok
			}
		}
		if apart == c.Shared.OK {
			t.Fatalf("some two are apart: %v; the list shares its water: %v", apart, c.Shared.OK)
		}
		for _, w := range c.Shared.Windows {
			if w.Tolerated.Low <= w.Tolerated.High && !w.Tolerated.Contains(w.Best) {
				t.Fatalf("best %v outside %v", w.Best, w.Tolerated)
			}
		}
	})
}

func TestScoresDecideAndAgreeWithTheirExplanation(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 5)
		c, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		want, tank, list := stocking.DecisionOf(c.Findings), stocking.Proceed, stocking.NewAssessment(b, &s)
		for _, f := range c.Findings {
			tank = max(tank, [...]stocking.Decision{stocking.Proceed, stocking.Advise, stocking.Hold}[f.Severity])
		}
		for i, p := range c.Pairings {
			if i > 0 && p.Score.Value > c.Pairings[i-1].Score.Value {
				t.Fatal("pairings are not worst first")
			}
			full := b.Model.ExplainIn(list.Lines[p.First].Profile, list.Lines[p.Second].Profile, p.Conditions)
			if math.Abs(full.Score.Value-p.Score.Value) > 1e-9 || full.Score.Band != p.Score.Band ||
				full.Score.Reason != p.Score.Reason || !reflect.DeepEqual(full.Summary, p.Summary) {
				t.Fatalf("explanation %+v disagrees with %+v", full.Score, p.Score)
			}
			var leads stocking.Decision
			switch {
			case p.Meant, p.Settled:
			case p.Borne && c.Wanted >= conflict.Moderate:
				leads = stocking.Advise
			case p.Score.Level > c.Wanted:
				leads = stocking.Hold
			case p.Score.Level >= conflict.Moderate:
				leads = stocking.Advise
			}
			tank = max(tank, leads)
			if p.Existing && leads > stocking.Proceed {
				leads-- // a hold that stood before is worth advice, advice nothing
			}
			want = max(want, leads)
		}
		if c.Decision != want || c.TankDecision != tank {
			t.Fatalf("decision %v, want %v; of the tank %v, want %v", c.Decision, want, c.TankDecision, tank)
		}
	})
}

func TestFindingsAreGravestFirstAndNameTheirLines(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		c, err := stocking.Judge(b, stockingtest.DrawStock(t, b, 8))
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range c.Findings {
			if i > 0 && f.Severity > c.Findings[i-1].Severity {
				t.Fatal("findings are not gravest first")
			}
			if !slices.IsSorted(f.Lines) || (len(f.Lines) > 0 && f.Lines[len(f.Lines)-1] >= len(c.Lines)) {
				t.Fatalf("lines %v", f.Lines)
			}
			if (len(f.Lines) > 0) != (f.Statement.Actor != nil) {
				t.Fatalf("%s names %v for lines %v", f.Code(), f.Statement.Actor, f.Lines)
			}
		}
	})
}

func TestEveryRemedyOfAFindingClearsIt(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 5)
		c, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		for i := range c.Findings {
			f := &c.Findings[i]
			if f.Remedy == nil {
				continue
			}
			after := s
			after.Lines, after.Tank = remedies.Apply(b, c.Lines, s.Tank, *f.Remedy)
			then, err := stocking.Judge(b, after)
			if err != nil {
				t.Fatal(err)
			}
			if n := likes(&then, f); n >= likes(&c, f) {
				t.Fatalf("%s is still there after %s: %s", f.Code(), f.Remedy.Kind, wording.English(false).Sentence(f.Statement))
			}
		}
	})
}

// likes counts the findings that say the same of the same species, as grave as f.
func likes(c *stocking.Check, f *stocking.Finding) (n int) {
	for i := range c.Findings {
		g := &c.Findings[i]
		if g.Code() == f.Code() && g.Severity >= f.Severity && g.Statement.Actor == f.Statement.Actor &&
			reflect.DeepEqual(g.Statement.Words, f.Statement.Words) {
			n++
		}
	}
	return n
}
