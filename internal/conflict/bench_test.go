package conflict_test

import (
	"fmt"
	"runtime"
	"sync"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/synthetic"
)

// BenchmarkValue scores one pair without words.
func BenchmarkValue(b *testing.B) {
	book := realBook(b)
	n := book.Snapshot.Len()
	b.ReportAllocs()
	for k := 0; b.Loop(); k++ {
		book.Value(k%n, (k*7+3)%n)
	}
}

// BenchmarkExplain gives the full explanation: shares, band, remedies and words.
func BenchmarkExplain(b *testing.B) {
	book := realBook(b)
	n := book.Snapshot.Len()
	w := conflict.English(false)
	b.ReportAllocs()
	for k := 0; b.Loop(); k++ {
		p := book.Model.Explain(book.Profile(k%n), book.Profile((k*7+3)%n), nil)
		w.Summary(&p)
		for _, f := range p.Factors {
			w.Sentence(f.Statement)
		}
		for _, r := range p.Remedies {
			w.Sentence(r.Statement)
		}
	}
}

// BenchmarkAgainst scores one species with all of a catalogue: at once, at once in a tank, and one by one; and it finds
// bounds for twelve lines in that tank.
func BenchmarkAgainst(b *testing.B) {
	benchmarkAgainst(b, "catalogue", realBook(b))
	for _, n := range []int{1_000, 10_000, 100_000} {
		benchmarkAgainst(b, fmt.Sprint(n), syntheticBook(b, n))
	}
}

func benchmarkAgainst(b *testing.B, name string, book *conflict.Book) {
	n := book.Snapshot.Len()
	out := book.Against(book.Profile(0), nil, nil) // the columns are there
	perPair := func(b *testing.B, pairs int) {
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(pairs), "ns/pair")
	}
	tank := &conflict.Tank{LengthCM: 150, WidthCM: 60, HeightCM: 60, Cover: 0.6, CoverKnown: true}
	for _, in := range []struct {
		name string
		tank *conflict.Tank
	}{{"at once", nil}, {"in a tank", tank}} {
		b.Run(name+"/"+in.name, func(b *testing.B) {
			b.ReportAllocs()
			for k := 0; b.Loop(); k++ {
				out = book.Against(book.Profile(k*7%n), in.tank, out)
			}
			perPair(b, n)
		})
	}
	b.Run(name+"/one by one", func(b *testing.B) {
		for k := 0; b.Loop(); k++ {
			for j := range n {
				out[j] = book.Value(k*7%n, j)
			}
		}
		perPair(b, n)
	})
	b.Run(name+"/bounds", func(b *testing.B) {
		var lines []conflict.Group
		var all []int
		for k := range 12 {
			lines, all = append(lines, conflict.Group{Index: k * 71 % n, Line: book.Profile(k * 71 % n)}), append(all, k)
		}
		b.ReportAllocs()
		for b.Loop() {
			out = book.Beside(lines, 6000, tank).AtLeast(all, out)
		}
		perPair(b, n*len(lines))
	})
}

// BenchmarkAllPairs scores all ordered pairs on all cores; ns/pair should not change
// with the number of species.
func BenchmarkAllPairs(b *testing.B) {
	for _, size := range []struct {
		name string
		n    int
	}{{"100", 100}, {"400", 400}, {"1600", 1600}} {
		b.Run(size.name, func(b *testing.B) {
			book := syntheticBook(b, size.n)
			for b.Loop() {
				allPairs(book)
			}
			pairs := float64(size.n) * float64(size.n)
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/pairs, "ns/pair")
		})
	}
}

func syntheticBook(b *testing.B, n int) *conflict.Book {
	snap, err := species.NewSnapshot(1, synthetic.Catalogue(1, n))
	if err != nil {
		b.Fatal(err)
	}
	m, err := conflict.Default()
	if err != nil {
		b.Fatal(err)
	}
	return conflict.NewBook(m, snap)
}

func allPairs(book *conflict.Book) {
	n := book.Snapshot.Len()
	var wg sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		wg.Go(func() {
			for i := w; i < n; i += workers {
				for j := range n {
					book.Value(i, j)
				}
			}
		})
	}
	wg.Wait()
}
