package stocking_test

import (
	"reflect"
	"testing"

	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"

	"pgregory.net/rapid"
)

func TestTheShortFormDecidesAndTellsAsTheWholeCheckDoes(t *testing.T) {
	b := testfish.Book(t)
	words := wording.English(false)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 12)
		if rapid.Bool().Draw(t, "young") {
			s = stockingtest.DrawYoung(t, b, 8)
		}
		for i := range s.Lines {
			s.Lines[i].Incoming = rapid.Bool().Draw(t, "incoming")
		}
		whole, err := stocking.Judge(b, s)
		short, shortErr := stocking.JudgeShort(b, s)
		if err != nil || shortErr != nil {
			t.Fatal(err, shortErr)
		}
		if whole.Decision != short.Decision || whole.TankDecision != short.TankDecision || words.Summary(&whole.Summary) != words.Summary(&short.Summary) {
			t.Fatalf("%v %v %q, in short %v %v %q", whole.Decision, whole.TankDecision, words.Summary(&whole.Summary), short.Decision, short.TankDecision, words.Summary(&short.Summary))
		}
		for _, told := range [...][]stocking.Finding{whole.Reasons, short.Reasons} {
			for i := range told {
				if r := told[i].Remedy; r != nil && (r.Kind == stocking.RaiseGroup || r.Kind == stocking.AddFemales) {
					told[i].Remedy = nil // of the short form they are not judged
				}
			}
		}
		if !reflect.DeepEqual(whole.Lines, short.Lines) || !reflect.DeepEqual(whole.Reasons, short.Reasons) || !reflect.DeepEqual(whole.Ask, short.Ask) {
			t.Fatalf("%+v\n%+v, in short\n%+v\n%+v", whole.Reasons, whole.Ask, short.Reasons, short.Ask)
		}
	})
}

// What was judged on a slate before changes nothing.
func TestAListOnAWipedSlateIsJudgedAsOnANewOne(t *testing.T) {
	b, other := testfish.Book(t), testfish.GeneratedBook(t, 60)
	on := new(stocking.Slate)
	rapid.Check(t, func(t *rapid.T) {
		b := testfish.DrawBook(t, b, other)
		s := stockingtest.DrawYoung(t, b, 12)
		for i := range s.Lines {
			s.Lines[i].Incoming = rapid.Bool().Draw(t, "incoming")
		}
		on.Wipe()
		if rapid.Bool().Draw(t, "whole") {
			want, wantErr := stocking.Judge(b, s)
			if got, err := stocking.JudgeReadyOn(on, b, &s); !reflect.DeepEqual(got, want) || !reflect.DeepEqual(err, wantErr) {
				t.Fatalf("%v %+v\n%+v", err, got, want)
			}
			return
		}
		want, wantErr := stocking.JudgeShort(b, s)
		if got, err := stocking.JudgeShortOn(on, b, s); !reflect.DeepEqual(got, want) || !reflect.DeepEqual(err, wantErr) {
			t.Fatalf("%v %+v\n%+v", err, got, want)
		}
	})
}

// On a slate that is used again, what is said of the pairings that are told is what takes memory.
func TestAShortCheckOnASlateAllocatesLittle(t *testing.T) {
	b, s, on := testfish.Book(t), stockingtest.Dozen(t), new(stocking.Slate)
	judge := func() {
		on.Wipe()
		if _, err := stocking.JudgeShortOn(on, b, s); err != nil {
			t.Fatal(err)
		}
	}
	if n := testing.AllocsPerRun(100, judge); n > 120 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkShort(b *testing.B) {
	book := testfish.Book(b)
	stock := stockingtest.Dozen(b)
	for name, judge := range map[string]func() error{
		"short": func() error { _, err := stocking.JudgeShort(book, stock); return err },
		"whole": func() error { _, err := stocking.Judge(book, stock); return err },
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := judge(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
