package stocking_test

import (
	"slices"
	"testing"
	"unicode/utf8"

	"commensal/internal/stocking"
	"commensal/internal/stocking/remedies"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"

	"pgregory.net/rapid"
)

// TestNoAnswerContradictsItself draws lists and holds each answer against itself: one tank at most, no
// advice to keep more of a kind that is held, readings moved into water that suits, and every
// reason one short sentence.
func TestNoAnswerContradictsItself(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		c, err := stocking.Judge(b, stockingtest.DrawStock(t, b, 7))
		if err != nil {
			t.Fatal(err)
		}
		tanks, held := 0, map[int]bool{}
		for i := range c.Reasons {
			f := &c.Reasons[i]
			if f.Remedy != nil && f.Remedy.Kind == stocking.LargerTank {
				tanks++
			}
			for _, l := range f.Lines {
				held[c.Lines[l].Index] = held[c.Lines[l].Index] || f.Severity == stocking.Stop && !f.Existing
			}
			if text := wording.English(true).Finding(f); utf8.RuneCountInString(text) > wording.SummaryLimit || slices.Contains([]rune(text), '{') {
				t.Fatalf("%s: %q", f.Code(), text)
			}
			if i > 0 && f.Severity > c.Reasons[i-1].Severity {
				t.Fatal("reasons are not gravest first")
			}
		}
		if tanks > 1 {
			t.Fatalf("%d tanks are recommended", tanks)
		}
		for i := range c.Reasons {
			f := &c.Reasons[i]
			switch f.Code() {
			case stocking.GroupTooSmall, stocking.GroupBelowCustom, stocking.SexRatio:
				if held[c.Lines[f.Lines[0]].Index] {
					t.Fatalf("more %s are asked for, which are held", f.Statement.Actor.ID)
				}
			}
			suits(t, &c, f)
		}
	})
}

// suits wants a reading that is to be moved to end in water that everybody prefers, where there is any.
func suits(t *rapid.T, c *stocking.Check, f *stocking.Finding) {
	if f.Remedy == nil || f.Remedy.Kind != stocking.MoveReading {
		return
	}
	for _, w := range c.Shared.Windows {
		if w.Parameter == f.Remedy.Parameter && w.PreferredOK && !w.Preferred.Contains(f.Remedy.To) {
			t.Fatalf("%s: a reading is to move to %v, the water for all is %v", f.Code(), f.Remedy.To, w.Preferred)
		}
	}
}

// TestWhatStoodBeforeNeverHoldsAHarmlessSale holds the decision against the tank before: what joins is
// held only for a reason that names it, or that is worse for it.
func TestWhatStoodBeforeNeverHoldsAHarmlessSale(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 5)
		for i := range s.Lines {
			s.Lines[i].Incoming = i == 0
		}
		c, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		if c.TankDecision < c.Decision && !slices.ContainsFunc(c.Findings, func(f stocking.Finding) bool { return f.Postpones }) {
			t.Fatalf("they are %v, the tank with them %v", c.Decision, c.TankDecision)
		}
		if c.Decision != stocking.Hold {
			return
		}
		theirs := func(f stocking.Finding) bool {
			return !f.Existing && f.Severity == stocking.Stop && (len(f.Lines) == 0 ||
				slices.ContainsFunc(f.Lines, func(l int) bool { return c.Lines[l].Incoming }) || f.Score > 0)
		}
		if !slices.ContainsFunc(c.Reasons, theirs) {
			t.Fatalf("held for nothing of theirs: %s", wording.English(false).Summary(&c.Summary))
		}
	})
}

// TestNoRemedyAsksForMoreOfAHeldKind looks at the plans.
func TestNoRemedyAsksForMoreOfAHeldKind(t *testing.T) {
	b := testfish.Book(t)
	for _, name := range []string{"goldfish", "bala shark", "clown loach"} {
		s := stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, name, 1)}, Tank: &stocking.Tank{VolumeL: 38}, Wanted: stocking.DefaultWanted}
		c := stockingtest.MustJudge(t, b, s)
		for _, plan := range remedies.Find(b, s, &c).Best {
			for _, change := range plan.Changes {
				if change.Kind == stocking.RaiseGroup {
					t.Errorf("%s is held, and more are asked for", name)
				}
			}
		}
	}
}

// Whoever keeps more of a kind as an answer says gets an answer that is no worse, with as much room and nothing wrong
// with the kind.
func TestMoreFishAreAdvisedOnlyWhereTheyDoWell(t *testing.T) {
	b := testfish.Book(t)
	advised := 0
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 4)
		c, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		for i := range c.Reasons {
			r := c.Reasons[i].Remedy
			if r == nil || r.Kind != stocking.RaiseGroup && r.Kind != stocking.AddFemales {
				continue
			}
			advised++
			more := s
			more.Lines = slices.Clone(c.Lines)
			kind := c.Lines[r.Line].Index
			more.Lines = append(more.Lines, r.More(b, more.Lines)...)
			then, err := stocking.Judge(b, more)
			if err != nil {
				t.Fatal(err)
			}
			if then.Decision > c.Decision || then.TankDecision > c.TankDecision {
				t.Fatalf("%d of a kind instead of %d: %v after %v", r.Count, c.Lines[r.Line].Count, then.Decision, c.Decision)
			}
			for k := range then.Reasons {
				f := &then.Reasons[k]
				about := slices.ContainsFunc(f.Lines, func(l int) bool { return then.Lines[l].Index == kind })
				if about && f.Severity > stocking.Note && f.Code() != stocking.GroupTooSmall && f.Code() != stocking.SexRatio && f.Code() != stocking.TankAsked {
					t.Fatalf("more of a kind of which is said %s", f.Code())
				}
			}
		}
	})
	if advised == 0 {
		t.Error("nobody is told to keep more of anything")
	}
}
