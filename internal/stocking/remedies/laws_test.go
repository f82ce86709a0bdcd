package remedies

import (
	"strings"
	"testing"

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
		if len(got.Best) > 0 {
			best = got.Best[0].Decision
		}
		if proceeds := c.Decision > stocking.Proceed && best == stocking.Proceed; proceeds == (got.None != nil) {
			t.Fatalf("from %v to %v, said %+v", c.Decision, best, got.None)
		}
	})
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
			best = min(best, d)
		}
		if best < c.Decision && (len(got.Best) == 0 || got.Best[0].Decision > best) {
			t.Fatalf("a single change comes to %v; found %v", best, described(&got))
		}
	})
}

func TestEverythingSaidOfRemediesIsASentence(t *testing.T) {
	for _, code := range []stocking.Code{NoneNeeded, NoneToProceed, NoneHelps, NotAllTried} {
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
