package remedies

import (
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

// drawKept makes some lines ones that must stay.
func drawKept(t *rapid.T, s *stocking.Stock) {
	for i := range s.Lines {
		s.Lines[i].Keep = rapid.IntRange(0, 3).Draw(t, "keep") == 0
	}
}

func TestRemediesKeepTheirPromise(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawYoung(t, b, 4)
		drawKept(t, &s)
		c, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		got := Find(b, s, &c)
		if len(got.Best) > MaxRemedies || got.From != c.Decision {
			t.Fatalf("%d remedies from %v", len(got.Best), got.From)
		}
		last := 0.0
		for i := range got.Best {
			r := &got.Best[i]
			if i == 1 && notSold(&c, &got.Best[0]) {
				last = 0 // what joins and is held comes first, whatever the others cost
			}
			if r.Cost < last || r.Decision >= c.Decision || len(r.Changes) == 0 {
				t.Fatalf("remedy %+v after a cost of %v, from %v", r, last, c.Decision)
			}
			last = r.Cost
			then := stocking.Proceed
			for _, list := range Carry(b, s, c.Lines, r.Changes...) {
				again, err := stocking.Judge(b, list)
				if err != nil {
					t.Fatal(err)
				}
				then = max(then, again.Decision)
			}
			if then != r.Decision {
				t.Fatalf("promised %v, got %v from %v", r.Decision, then, kindsOf(r))
			}
			saidWell(t, &c, r)
		}
		best := c.Decision
		for i := range got.Best {
			best = min(best, got.Best[i].Decision)
		}
		addressed(t, b, &s, &c, &got)
		if proceeds := c.Decision > stocking.Proceed && best == stocking.Proceed; proceeds == (got.None != nil) {
			t.Fatalf("from %v to %v, said %+v", c.Decision, best, got.None)
		}
	})
}

// joining reports whether fish of a list are about to join others of it.
func joining(c *stocking.Check) bool {
	is := func(incoming bool) bool {
		return slices.ContainsFunc(c.Lines, func(l stocking.Line) bool { return l.Incoming == incoming })
	}
	return is(true) && is(false)
}

// notSold reports a remedy that only leaves out what is held of the fish that would join.
func notSold(c *stocking.Check, r *Remedy) bool {
	return c.Decision == stocking.Hold && joining(c) && !slices.ContainsFunc(r.Changes, func(x stocking.Change) bool {
		return x.Kind != stocking.LeaveLineOut || !c.Lines[x.Line].Incoming
	})
}

// addressed checks the order for whoever asks what may join: what joins goes before residents do, and residents only
// where nothing else helps as far.
func addressed(t *rapid.T, b *conflict.Book, s *stocking.Stock, c *stocking.Check, got *Remedies) {
	if !joining(c) {
		return
	}
	moves := func(r *Remedy) bool {
		return slices.ContainsFunc(r.Changes, func(x stocking.Change) bool {
			return (x.Kind == stocking.LeaveLineOut || x.Kind == stocking.Separate) && !c.Lines[x.Line].Incoming
		})
	}
	stays, goes := false, false
	for i := range got.Best {
		if r := &got.Best[i]; moves(r) {
			goes = true
		} else if !notSold(c, r) || r.Decision == stocking.Proceed {
			stays = true
		}
	}
	if stays && goes {
		t.Fatalf("residents go where others help: %+v", got.Best)
	}
	var rest []stocking.Line
	for _, l := range c.Lines {
		if !l.Incoming || l.Keep {
			rest = append(rest, l)
		}
	}
	alone := *s
	alone.Lines = rest
	if c.Decision < stocking.Hold || len(rest) == len(c.Lines) {
		return
	}
	if then, err := stocking.Judge(b, alone); err == nil && then.Decision < stocking.Hold && !notSold(c, &got.Best[0]) {
		t.Fatalf("residents are no hold by themselves, and first comes %+v", got.Best[0])
	}
}

// saidWell checks that no line that must stay is left out and that every change can be
// said.
func saidWell(t *rapid.T, c *stocking.Check, r *Remedy) {
	for i := range r.Changes {
		change := &r.Changes[i]
		if change.Kind == stocking.LeaveLineOut && c.Lines[change.Line].Keep {
			t.Fatalf("line %d must stay", change.Line)
		}
		if change.Kind == stocking.CorrectLength {
			t.Fatal("measuring again changes nothing")
		}
		if text := wording.English(false).Sentence(change.Statement); strings.ContainsAny(text, "{}") || !strings.HasSuffix(text, ".") {
			t.Fatalf("sentence %q", text)
		}
	}
}

func TestTheOrderOfTheListNeverMattersToRemedies(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawYoung(t, b, 4)
		drawKept(t, &s)
		other := s
		other.Lines = rapid.Permutation(s.Lines).Draw(t, "order")
		var all [2]Remedies
		for i, stock := range []stocking.Stock{s, other} {
			c, err := stocking.Judge(b, stock)
			if err != nil {
				t.Fatal(err)
			}
			all[i] = Find(b, stock, &c)
		}
		x, y := described(&all[0]), described(&all[1])
		if strings.Join(x, ";") != strings.Join(y, ";") || (all[0].None == nil) != (all[1].None == nil) {
			t.Fatalf("another order, other remedies:\n%v\n%v", x, y)
		}
	})
}

// TestNoSingleChangeIsMissed tries every candidate in full and compares what is found.
func TestNoSingleChangeIsMissed(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawYoung(t, b, 3)
		c, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		if c.Decision == stocking.Proceed {
			t.Skip("nothing to mend")
		}
		got := Find(b, s, &c)
		m := newPlanner(b, s, &c)
		best := c.Decision
		for i := range m.candidates {
			change := m.candidates[i].Change
			if !m.someStay([]stocking.Change{change}) {
				continue
			}
			d := stocking.Proceed
			for _, list := range Carry(b, s, c.Lines, change) {
				again, err := stocking.Judge(b, list)
				if err != nil {
					t.Fatal(err)
				}
				d = max(d, again.Decision)
			}
			if d < best && addresses(m, d, change) {
				best = d
			}
		}
		if best < c.Decision && !slices.ContainsFunc(got.Best, func(r Remedy) bool { return r.Decision <= best }) {
			t.Fatalf("a single change comes to %v; found %v", best, described(&got))
		}
	})
}

// addresses reports whether a change acts on the main reasons of what it brings to a decision.
func addresses(m *planner, d stocking.Decision, change stocking.Change) bool {
	m.setTarget(d)
	j := m.after([]stocking.Change{change})
	if j == nil {
		return true
	}
	j.ScoreWhile(func(*stocking.Pair) bool { return true })
	return m.mends(j)
}

// A warmer tank takes from a pairing what the cold adds, and not the fighting that is its main reason: though the
// sum slip below a level, that is no remedy. Where the cold is the main reason, it is.
func TestARemedyAddressesTheReason(t *testing.T) {
	at := func(fight float64, celsius float64) conflict.Causes {
		c := conflict.Causes{Value: 60}
		c.By[conflict.Aggression], c.By[conflict.Water] = fight, (25-celsius)*0.1
		return c
	}
	for fight, want := range map[float64]bool{0.6: false, 0.1: true} {
		cold, warm := at(fight, 22), at(fight, 25)
		if cold.MendedBy(&warm) != want {
			t.Errorf("of a main reason %v, fighting %v: mended %v", cold.Reason(), fight, !want)
		}
	}
}

func TestEverythingSaidOfRemediesIsASentence(t *testing.T) {
	for _, code := range []stocking.Code{NoneNeeded, NoneToProceed, NoneHelps, NotAllTried, RestProceeds, RestAdvised} {
		if text := English.Sentences[code]; !strings.HasSuffix(text, ".") {
			t.Errorf("%s: %q", code, text)
		}
	}
}

// BenchmarkRemedies looks for remedies of a till basket of twelve kinds.
func BenchmarkRemedies(b *testing.B) {
	s := stockingtest.Dozen(b)
	c := stockingtest.MustJudge(b, testfish.Book(b), s)
	b.ReportAllocs()
	for b.Loop() {
		Find(testfish.Book(b), s, &c)
	}
}

// BenchmarkRemediesSmall does so for four kinds of which one is too small a shoal.
func BenchmarkRemediesSmall(b *testing.B) {
	s := stocking.Stock{Lines: []stocking.Line{stockingtest.Some(b, "neon tetra", 3), stockingtest.Some(b, "corydoras panda", 6), stockingtest.Some(b, "zebra danio", 8)}, Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
	s.Tank.Reading[species.Salinity].Known = false
	c := stockingtest.MustJudge(b, testfish.Book(b), s)
	b.ReportAllocs()
	for b.Loop() {
		Find(testfish.Book(b), s, &c)
	}
}

// BenchmarkRemediesLongest looks for remedies of the longest list that is accepted.
func BenchmarkRemediesLongest(b *testing.B) {
	s := stockingtest.LongList(b)
	c := stockingtest.MustJudge(b, testfish.Book(b), s)
	b.ReportAllocs()
	for b.Loop() {
		Find(testfish.Book(b), s, &c)
	}
}

// A turtle that would join neons is left out, though no change of the list can name it.
func TestWhatIsNotCoveredIsLeftOut(t *testing.T) {
	b := testfish.Book(t)
	s := stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, "neon tetra", 10)}, Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted,
		Others: []stocking.Other{{Good: species.GoodTurtle, Incoming: true, Ref: 1}}}
	check := stockingtest.MustJudge(t, b, s)
	if got := Find(b, s, &check); got.None == nil || got.None.Code != RestProceeds {
		t.Errorf("from %v: %+v", check.Decision, got.None)
	}
}
