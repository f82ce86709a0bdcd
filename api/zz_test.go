package api_test

import (
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"testing"
	"time"
	"log/slog"
	"io"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/internal/conflict"
	"commensal/internal/loadtest"
)

func TestZZ(t *testing.T) {
	book := fixture.Fitted(t)
	s := apitest.ServerOf(t, book, func(c *api.Config) {
		c.Book = func() *conflict.Book { return book }
		c.CacheBytes = 32 << 20
		c.Processors = 1
		c.Logger = slog.New(slog.NewJSONHandler(io.Discard, nil))
	})
	h := httptest.NewServer(s.Handler())
	defer h.Close()
	tg, err := loadtest.Dial(t.Context(), h.Listener.Addr().String(), 128)
	if err != nil {
		t.Fatal(err)
	}
	defer tg.Close()
	src := func(n int64) []byte {
		type line struct {
			Species string `json:"species"`
			Count   int64  `json:"count"`
		}
		l := []line{}
		for k := 0; k < 4; k++ {
			l = append(l, line{string(book.Snapshot.At((k*7 + int(n)) % book.Snapshot.Len()).ID), 1 + n/900})
		}
		b, _ := json.Marshal(map[string]any{"tank": map[string]any{"size": "300x100x100cm"}, "residents": l})
		return loadtest.Request("POST", "/v1/checks", b)
	}
	r, err := tg.Overload(t.Context(), src, 6000, 8*time.Second)
	if err != nil {
		t.Fatal(err)
	}
	fmt.Println(r.Served.Count(), r.Refused.Count(), r.Served.Quantile(.99))
}
