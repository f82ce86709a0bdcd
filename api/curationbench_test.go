package api

import (
	"encoding/json"
	"fmt"
	"net/http"
	"testing"

	"commensal/internal/auth"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/synthetic"
)

// What a curator waits for: one entry of a thousand is corrected, checked with all the
// others, stored, and served.
func BenchmarkPutOneOf1000(b *testing.B) {
	c := synthetic.Catalogue(1, 1000)
	var book *conflict.Book
	h := newHouse(b, func(cfg *Config) {
		cfg.Book = func() *conflict.Book { return book }
		cfg.Published = func(revision int64, c species.Catalogue) { book = must(b)(bookOf(c, revision)) }
	})
	revision, _, err := h.store.LoadCatalogue(b.Context(), c, "")
	if err != nil {
		b.Fatal(err)
	}
	book = must(b)(bookOf(c, revision))
	key := h.key("here", auth.Curate)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		sp := *c.Species[i%len(c.Species)]
		sp.Note = fmt.Sprint("changed ", i)
		body, err := json.Marshal(speciesWire(1, nil, &sp))
		if err != nil {
			b.Fatal(err)
		}
		a := h.do(http.MethodPut, speciesPath(sp.ID), string(body), with([]string{"Content-Type", "application/json"}, ifMatch("*"), key)...)
		if a.Code != http.StatusOK {
			b.Fatalf("%d %s", a.Code, a.Body)
		}
	}
}
