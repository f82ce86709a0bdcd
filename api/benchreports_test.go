package api_test

import (
	"fmt"
	"net/http/httptest"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/internal/evidence"
)

// manyTallies are reports of n pairs, the one asked for among them.
func manyTallies(n int) map[evidence.Pair]evidence.Tally {
	of := map[evidence.Pair]evidence.Tally{}
	for i := range n {
		var tally evidence.Tally
		tally.Add(evidence.Share{Counts: [evidence.NumOutcomes]int{1 + i%5, i % 2, 0, i % 3}, FineMonths: 12})
		of[evidence.PairOf(fmt.Sprint("genus-species", i/100), fmt.Sprint("genus-species", i%100))] = tally
		if i == 0 {
			of[evidence.PairOf("astronotus-ocellatus", "paracheirodon-innesi")] = tally
		}
	}
	return of
}

// BenchmarkPairingWithReports compares a pairing with reports of ten thousand pairs in
// memory with one where there are none. Rounds of the two alternate; the ratio is of
// requests in equal time.
func BenchmarkPairingWithReports(b *testing.B) {
	for _, c := range []struct {
		name  string
		cache int64
		path  string
	}{
		{"kept", 0, apitest.OscarNeon}, {"computed", -1, apitest.OscarNeon}, {"computed, nobody reported", -1, "/v1/pairings/oscar/guppy"},
	} {
		b.Run(c.name, func(b *testing.B) {
			settings := func(cfg *api.Config) { cfg.CacheBytes = c.cache }
			servers := [2]*api.Server{apitest.ServerOf(b, fixture.Full(b), settings), apitest.ServerOf(b, fixture.Full(b), settings, apitest.WithTallies(manyTallies(10_000)))}
			var took [2]time.Duration
			turn := 0
			r := apitest.NewRequest(b, "GET", c.path, "")
			for b.Loop() {
				turn++
				for k := range servers {
					i := (turn + k) % 2 // each goes first every other round
					s, start := servers[i], time.Now()
					for range 100 {
						s.Handler().ServeHTTP(httptest.NewRecorder(), r)
					}
					took[i] += time.Since(start)
				}
			}
			b.ReportMetric(float64(took[0])/float64(took[1]), "ratio")
		})
	}
}
