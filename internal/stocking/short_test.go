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
		if !reflect.DeepEqual(whole.Lines, short.Lines) || !reflect.DeepEqual(whole.Reasons, short.Reasons) || !reflect.DeepEqual(whole.Ask, short.Ask) {
			t.Fatalf("%+v\n%+v, in short\n%+v\n%+v", whole.Reasons, whole.Ask, short.Reasons, short.Ask)
		}
	})
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
