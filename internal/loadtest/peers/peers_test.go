package main

import (
	"context"
	"math"
	"testing"
)

func start(tb testing.TB) *contest {
	tb.Helper()
	c, err := newContest(tb.Context())
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := c.close(context.Background()); err != nil {
			tb.Error(err)
		}
	})
	return c
}

// What is compared is the same work: the four give the same number for every pair, and the numbers differ from pair
// to pair.
func TestTheFourOfTheSimpleFormulaAgree(t *testing.T) {
	c := start(t)
	n := len(c.fish)
	want, got := make([]float64, n*n), make([]float64, n*n)
	four := c.peers[:len(c.peers)-wholeModels]
	if len(four) != 4 || n < 100 {
		t.Fatalf("%d peers, %d fish", len(four), n)
	}
	if err := four[3].all(t.Context(), want); err != nil {
		t.Fatal(err)
	}
	values := map[float64]bool{}
	for _, v := range want {
		if !(v >= 0 && v <= 1) {
			t.Fatalf("the formula gives %v", v)
		}
		values[v] = true
	}
	if len(values) < n {
		t.Errorf("only %d different values", len(values))
	}
	for _, p := range four[:3] {
		clear(got)
		if err := p.all(t.Context(), got); err != nil {
			t.Fatalf("%s: %v", p.name, err)
		}
		for k := range want {
			if math.Abs(got[k]-want[k]) > 1e-9 {
				t.Fatalf("%s: pair %d of %d gives %v, plain Go %v", p.name, k/n, k%n, got[k], want[k])
			}
		}
	}
}

// BenchmarkPeers scores all ordered pairs of the catalogue. Compare within one run only.
func BenchmarkPeers(b *testing.B) {
	c := start(b)
	for _, p := range c.peers {
		b.Run(p.name, func(b *testing.B) {
			for b.Loop() {
				if err := p.all(b.Context(), nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(c.fish)*len(c.fish)), "ns/pair")
		})
	}
}
