package api_test

import (
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/internal/logline"
)

// BenchmarkComputedPairing is the whole handler of pairings that are worked out, without a network.
func BenchmarkComputedPairing(b *testing.B) {
	book := fixture.Full(b)
	log := logline.NewWriter(io.Discard)
	s := apitest.ServerOf(b, book, func(cfg *api.Config) {
		cfg.Logger = slog.New(log.Seldom(&slog.HandlerOptions{}, func(s string) string { return s }))
		cfg.AccessLogger = cfg.Logger
	})
	for name, query := range map[string]string{"plain": "", "with a query": "?tank=120x50x50cm&ph=7&temperature_c=24.%06d"} {
		count := book.Snapshot.Len()
		requests := make([]*http.Request, 4096)
		for n := range requests {
			first, second := n%count, (n%count+1+n/count)%count
			path := "/v1/pairings/" + string(book.Snapshot.At(first).ID) + "/" + string(book.Snapshot.At(second).ID) + query
			if query != "" {
				path = fmt.Sprintf(path, n)
			}
			requests[n] = apitest.NewRequest(b, http.MethodGet, path, "")
		}
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			w := nothing{}
			for n := 0; b.Loop(); n++ {
				clear(w)
				s.Handler().ServeHTTP(w, requests[n%len(requests)])
			}
		})
	}
}
