package stocking_test

import (
	"reflect"
	"strings"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/remedies"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"

	"pgregory.net/rapid"
)

func foresee(t *rapid.T, b *conflict.Book, s stocking.Stock) stocking.Outlook {
	o, err := foreseen(b, s)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func TestTheOrderOfTheListNeverMattersToTheOutlook(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawYoung(t, b, 5)
		other := s
		other.Lines = rapid.Permutation(s.Lines).Draw(t, "order")
		if x, y := foresee(t, b, s), foresee(t, b, other); !reflect.DeepEqual(x, y) {
			t.Fatalf("another order, another outlook:\n%+v\n%+v", x, y)
		}
	})
}

// TestEventsComeTrue judges each dated pairing at the lengths and temper that the
// outlook itself tells for its month, in the tank customary for the two.
func TestEventsComeTrue(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawYoung(t, b, 4)
		s.Tank = nil
		c, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range c.Outlook.Events {
			if e.Kind != stocking.PairingRises && e.Kind != stocking.OwnKindRises {
				continue
			}
			if got := levelThen(b, &c, &e, e.Months.Typical); got < e.Level {
				t.Fatalf("%s: %v in its month, want %v", wording.English(false).Event(&e), got, e.Level)
			}
			if e.Months.Typical > 0 && levelThen(b, &c, &e, 0) >= e.Level {
				t.Fatalf("%s: it is so today", wording.English(false).Event(&e))
			}
		}
	})
}

// levelThen is the level of a pairing with the fish as they are in a month.
func levelThen(b *conflict.Book, c *stocking.Check, e *stocking.Event, month int) conflict.Level {
	list := stocking.NewAssessment(b, &stocking.Stock{Lines: c.Lines})
	list.ShareFuture()
	x, y := list.ProfileIn(month, e.First), list.ProfileIn(month, e.Second)
	cond := conflict.ConditionsFor(x, y, nil)
	return conflict.LevelOf(b.Model.Value(x, y, &cond))
}

func TestOutlooksAreWellFormed(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		c, err := stocking.Judge(b, stockingtest.DrawYoung(t, b, 5))
		if err != nil {
			t.Fatal(err)
		}
		o, worst := &c.Outlook, stocking.Proceed
		for i, e := range o.Events {
			m := e.Months
			if !(0 <= m.Low && m.Low <= m.Typical && m.Typical <= m.High && m.High <= stocking.Beyond) || e.First > e.Second || e.Second >= len(c.Lines) {
				t.Fatalf("event %+v", e)
			}
			if i > 0 && m.Typical < o.Events[i-1].Months.Typical {
				t.Fatal("events are not soonest first")
			}
			if text := wording.English(true).Event(&e); len(text) < 12 || strings.ContainsAny(text, "{}") || !strings.HasSuffix(text, ".") {
				t.Fatalf("sentence %q", text)
			}
			worst = max(worst, e.Decision)
		}
		if worst > c.TankDecision {
			t.Fatalf("an event leads to %v, the check says %v", worst, c.TankDecision)
		}
		checkGrowth(t, &c)
	})
}

func checkGrowth(t *rapid.T, c *stocking.Check) {
	for i := range c.Outlook.Growth {
		g := &c.Outlook.Growth[i]
		l := &c.Lines[g.Line]
		if l.LengthCM <= 0 && l.AgeMonth <= 0 {
			t.Fatalf("line %d has neither length nor age, yet grows", g.Line)
		}
		if at := g.LengthAt(0); l.LengthCM > 0 && at != (species.Band{Low: l.LengthCM, Typical: l.LengthCM, High: l.LengthCM}) {
			t.Fatalf("%v cm today, told %v", at, l.LengthCM)
		}
		month := rapid.IntRange(0, stocking.MaxMonths).Draw(t, "month")
		a, b := g.LengthAt(month), g.LengthAt(month+1)
		if !(a.Low <= a.Typical && a.Typical <= a.High && a.Low <= b.Low && a.Typical <= b.Typical && a.High <= b.High) {
			t.Fatalf("lengths %v, then %v", a, b)
		}
	}
}

func TestAdultsHaveNothingAhead(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 5)
		for i := range s.Lines {
			s.Lines[i].LengthCM, s.Lines[i].AgeMonth = 0, 0
		}
		if o := foresee(t, b, s); o.Growth != nil || o.Events != nil || o.Horizon != 0 {
			t.Fatalf("adults grow: %+v", o)
		}
	})
}

func TestAFurtherYoungSpeciesNeverImprovesTheDecision(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawYoung(t, b, 4)
		before, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		extra := stockingtest.DrawYoung(t, b, 1).Lines[0]
		for _, l := range s.Lines {
			if conflict.OneKind(b.Snapshot.At(l.Index), b.Snapshot.At(extra.Index)) {
				t.Skip("the same kind, which may complete its group")
			}
		}
		s.Lines = append(append([]stocking.Line(nil), s.Lines...), extra)
		after, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		if after.TankDecision < before.TankDecision ||
			sameQuestion(s.Lines[:len(s.Lines)-1], extra) && (after.Decision < before.Decision || after.SpeciesDecision < before.SpeciesDecision) {
			t.Fatalf("%v and %v became %v and %v", before.Decision, before.SpeciesDecision, after.Decision, after.SpeciesDecision)
		}
	})
}

// TestWhatIsLeftOutSettlesTheFuture leaves out the first set and judges the rest.
func TestWhatIsLeftOutSettlesTheFuture(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawYoung(t, b, 5)
		c, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		if len(c.LeaveOut.Sets) == 0 || len(c.LeaveOut.Sets[0].Lines) == len(c.Lines) {
			t.Skip("nothing to leave out, or everything")
		}
		var changes []stocking.Change
		for _, l := range c.LeaveOut.Sets[0].Lines {
			changes = append(changes, stocking.Change{Kind: stocking.LeaveLineOut, Line: l.Line})
		}
		s.Lines, s.Tank = remedies.Apply(b, c.Lines, s.Tank, changes...)
		then, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		if then.TankDecision == stocking.Hold {
			t.Fatalf("still held: %s", wording.English(false).Summary(&then.Summary))
		}
	})
}
