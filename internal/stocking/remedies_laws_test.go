package stocking

import (
	"strings"
	"testing"

	"commensal/internal/species"

	"pgregory.net/rapid"
)

// drawKept makes some lines ones that must stay.
func drawKept(t *rapid.T, s *Stock) {
	for i := range s.Lines {
		s.Lines[i].Keep = rapid.IntRange(0, 3).Draw(t, "keep") == 0
	}
}

func TestRemediesKeepTheirPromise(t *testing.T) {
	b := book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawYoung(t, b, 4)
		drawKept(t, &s)
		c, err := Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		got := Remedies(b, s, &c)
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
			then := Proceed
			for _, list := range Carry(b, s, c.Lines, r.Changes...) {
				again, err := Judge(b, list)
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
		if proceeds := c.Decision > Proceed && best == Proceed; proceeds == (got.None != nil) {
			t.Fatalf("from %v to %v, said %+v", c.Decision, best, got.None)
		}
	})
}

// saidWell checks that no line that must stay is left out and that every change can be
// said.
func saidWell(t *rapid.T, c *Check, r *ListRemedy) {
	for i := range r.Changes {
		change := &r.Changes[i]
		if change.Kind == LeaveLineOut && c.Lines[change.Line].Keep {
			t.Fatalf("line %d must stay", change.Line)
		}
		if change.Kind == CorrectLength {
			t.Fatal("measuring again changes nothing")
		}
		if text := English(false).Sentence(change.Statement); strings.ContainsAny(text, "{}") || !strings.HasSuffix(text, ".") {
			t.Fatalf("sentence %q", text)
		}
	}
}

func TestTheOrderOfTheListNeverMattersToRemedies(t *testing.T) {
	b := book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawYoung(t, b, 4)
		drawKept(t, &s)
		other := s
		other.Lines = rapid.Permutation(s.Lines).Draw(t, "order")
		var all [2]ListRemedies
		for i, stock := range []Stock{s, other} {
			c, err := Judge(b, stock)
			if err != nil {
				t.Fatal(err)
			}
			all[i] = Remedies(b, stock, &c)
		}
		x, y := described(&all[0]), described(&all[1])
		if strings.Join(x, ";") != strings.Join(y, ";") || (all[0].None == nil) != (all[1].None == nil) {
			t.Fatalf("another order, other remedies:\n%v\n%v", x, y)
		}
	})
}

// TestNoSingleChangeIsMissed tries every candidate in full and compares what is found.
func TestNoSingleChangeIsMissed(t *testing.T) {
	b := book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawYoung(t, b, 3)
		c, err := Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		if c.Decision == Proceed {
			t.Skip("nothing to mend")
		}
		got := Remedies(b, s, &c)
		m := newMender(b, s, &c)
		best := c.Decision
		for _, change := range m.candidates {
			if !m.someStay([]Change{change}) {
				continue
			}
			d := Proceed
			for _, list := range Carry(b, s, c.Lines, change) {
				again, err := Judge(b, list)
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
	for _, code := range []Code{NoneNeeded, NoneToProceed, NoneHelps, NotAllTried} {
		if text := englishOutlook.Sentences[code]; !strings.HasSuffix(text, ".") {
			t.Errorf("%s: %q", code, text)
		}
	}
}

// BenchmarkRemedies looks for remedies of a till basket of twelve kinds.
func BenchmarkRemedies(b *testing.B) {
	s := dozen(b)
	c := mustJudge(b, book(b), s)
	b.ReportAllocs()
	for b.Loop() {
		Remedies(book(b), s, &c)
	}
}

// BenchmarkRemediesSmall does so for four kinds of which one is too small a shoal.
func BenchmarkRemediesSmall(b *testing.B) {
	s := Stock{Lines: []Line{some(b, "neon tetra", 3), some(b, "corydoras panda", 6), some(b, "zebra danio", 8)}, Tank: goodTank(), Wanted: DefaultWanted}
	s.Tank.Reading[species.Salinity].Known = false
	c := mustJudge(b, book(b), s)
	b.ReportAllocs()
	for b.Loop() {
		Remedies(book(b), s, &c)
	}
}

// BenchmarkOutlook judges twelve kinds, all of them young.
func BenchmarkOutlook(b *testing.B) {
	s := dozen(b)
	for i := range s.Lines {
		s.Lines[i].AgeMonth = 3
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Foresee(book(b), s); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkRemediesLongest looks for remedies of the longest list that is accepted.
func BenchmarkRemediesLongest(b *testing.B) {
	s := longList(b)
	c := mustJudge(b, book(b), s)
	b.ReportAllocs()
	for b.Loop() {
		Remedies(book(b), s, &c)
	}
}
