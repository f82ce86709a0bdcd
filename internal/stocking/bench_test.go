package stocking

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// dozen is a till basket of twelve kinds in a furnished tank.
func dozen(b testing.TB) Stock {
	tank := goodTank()
	tank.Reading[species.Salinity] = conflict.Reading{}
	s := Stock{Tank: tank, Wanted: DefaultWanted}
	for i, name := range []string{
		"neon tetra", "cardinal tetra", "corydoras panda", "pterophyllum scalare", "guppy", "oscar", "tiger barb",
		"zebra danio", "otocinclus", "betta splendens", "kribensis", "dwarf gourami",
	} {
		m, err := book(b).Snapshot.Resolve(name)
		if err != nil {
			b.Fatal(err)
		}
		s.Lines = append(s.Lines, Line{Index: m.Index, Count: 1 + i%6})
	}
	return s
}

// BenchmarkJudge is a check of twelve kinds with everything that Judge answers.
func BenchmarkJudge(b *testing.B) {
	s, bk := dozen(b), book(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Judge(bk, s); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkJudgeAgain is what a remedy costs: the same fish judged in another tank,
// without words, bands and leave-out sets.
func BenchmarkJudgeAgain(b *testing.B) {
	s := dozen(b)
	j := prepare(book(b), &s)
	b.ReportAllocs()
	for b.Loop() {
		j.in(s.Tank).judge()
	}
}

// BenchmarkSentences writes out every sentence of the check.
func BenchmarkSentences(b *testing.B) {
	c := mustJudge(b, book(b), dozen(b))
	w := English(false)
	b.ReportAllocs()
	for b.Loop() {
		w.Summary(&c.Summary)
		for _, s := range everyStatement(&c) {
			w.Sentence(s)
		}
	}
}

// longList is a list of the greatest length, every species of the catalogue several times.
func longList(b testing.TB) Stock {
	s := Stock{Tank: goodTank(), Wanted: DefaultWanted}
	n := book(b).Snapshot.Len()
	for i := range MaxLines {
		s.Lines = append(s.Lines, Line{Index: i % n, Count: 2, LengthCM: 2 + float64(i/n)*2})
	}
	return s
}

// BenchmarkJudgeLongest is a check of the longest list that is accepted.
func BenchmarkJudgeLongest(b *testing.B) {
	s, bk := longList(b), book(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Judge(bk, s); err != nil {
			b.Fatal(err)
		}
	}
}
