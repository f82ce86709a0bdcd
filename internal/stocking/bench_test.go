package stocking_test

import (
	"testing"

	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"
)

// BenchmarkJudge is a check of twelve kinds with everything that Judge answers.
func BenchmarkJudge(b *testing.B) {
	s, bk := stockingtest.Dozen(b), testfish.Book(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := stocking.Judge(bk, s); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkJudgeAgain is what a remedy costs: the same fish judged in another tank,
// without words, bands and leave-out sets.
func BenchmarkJudgeAgain(b *testing.B) {
	s := stockingtest.Dozen(b)
	j := stocking.NewAssessment(testfish.Book(b), &s)
	b.ReportAllocs()
	for b.Loop() {
		j.In(s.Tank).Judge()
	}
}

// BenchmarkSentences writes out every sentence of the check.
func BenchmarkSentences(b *testing.B) {
	c := stockingtest.MustJudge(b, testfish.Book(b), stockingtest.Dozen(b))
	w := wording.English(false)
	b.ReportAllocs()
	for b.Loop() {
		w.Summary(&c.Summary)
		for _, s := range stockingtest.EveryStatement(&c) {
			w.Sentence(s)
		}
	}
}

// BenchmarkJudgeLongest is a check of the longest list that is accepted.
func BenchmarkJudgeLongest(b *testing.B) {
	s, bk := stockingtest.LongList(b), testfish.Book(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := stocking.Judge(bk, s); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkOutlook judges twelve kinds, all of them young.
func BenchmarkOutlook(b *testing.B) {
	s := stockingtest.Dozen(b)
	for i := range s.Lines {
		s.Lines[i].AgeMonth = 3
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := stocking.Judge(testfish.Book(b), s); err != nil {
			b.Fatal(err)
		}
	}
}
