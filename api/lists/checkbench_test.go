package lists

import (
	"testing"

	"commensal/api/apitest/fixture"
	"commensal/internal/stocking"
)

// BenchmarkCheck is the parts of a check: judging alone, words and encoding alone, and
// the whole handler without a network.
func BenchmarkCheck(b *testing.B) {
	book := fixture.Fitted(b)
	in := fixture.TheDozen(b)
	stock, err := ReadCheck(book.Snapshot, &in)
	if err != nil {
		b.Fatal(err)
	}
	check, err := stocking.Judge(book, stock)
	if err != nil {
		b.Fatal(err)
	}
	b.Run("judged", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := stocking.Judge(book, stock); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("worded and encoded", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			answer := newListWire(book, &stock, len(in.Residents), false).check(&check, MaxPairings)
			if _, err := answer.reply(); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("worded", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			newListWire(book, &stock, len(in.Residents), false).check(&check, MaxPairings)
		}
	})
}
