package api_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/internal/conflict"
)

// BenchmarkBatch asks about 100 lists of a sale, each another one, in brief: one by one, and as the lines of a batch. Nothing is
// answered from memory, and no network is between.
func BenchmarkBatch(b *testing.B) {
	book := fixture.Fitted(b)
	handler := apitest.ServerOf(b, fixture.Few(b), func(c *api.Config) {
		c.Book, c.CacheBytes = func() *conflict.Book { return book }, -1
	}).Handler()
	lists := make([]string, 100)
	for i := range lists {
		lists[i] = fmt.Sprintf(`{"detail":"brief","tank":{"volume_l":%d},"residents":[{"species":"paracheirodon-innesi","count":12},{"species":"hoplisoma-paleatum","count":6}],"incoming":[{"species":"guppy","count":5}]}`, 100+i)
	}
	ask := func(path, media, body string) {
		r := apitest.NewRequest(b, http.MethodPost, path, body)
		r.Header.Set("Content-Type", media)
		w := &discard{header: http.Header{}}
		if handler.ServeHTTP(w, r); w.status != http.StatusOK {
			b.Fatalf("%s is answered %d", path, w.status)
		}
	}
	b.Run("alone", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			for _, list := range lists {
				ask("/v1/checks", "application/json", list)
			}
		}
	})
	b.Run("batch", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			ask("/v1/checks/batch", "application/x-ndjson", strings.Join(lists, "\n"))
		}
	})
}

// discard takes an answer and keeps its status.
type discard struct {
	header http.Header
	status int
}

func (d *discard) Header() http.Header         { return d.header }
func (d *discard) WriteHeader(status int)      { d.status = status }
func (d *discard) Write(b []byte) (int, error) { return len(b), nil }
