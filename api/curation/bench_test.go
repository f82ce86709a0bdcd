package curation_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/lookups"
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
	h := apitest.NewService(b, func(cfg *api.Config) {
		cfg.Book = func() *conflict.Book { return book }
		cfg.Published = func(revision int64, c species.Catalogue) { book = fixture.Must(b)(fixture.BookOf(c, revision)) }
	})
	revision, _, err := h.Store.LoadCatalogue(b.Context(), c, "")
	if err != nil {
		b.Fatal(err)
	}
	book = fixture.Must(b)(fixture.BookOf(c, revision))
	key := h.Key("here", auth.Curate)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		sp := *c.Species[i%len(c.Species)]
		sp.Note = fmt.Sprint("changed ", i)
		body, err := json.Marshal(lookups.SpeciesEntry(1, nil, &sp))
		if err != nil {
			b.Fatal(err)
		}
		a := h.Do(http.MethodPut, lookups.SpeciesPath(sp.ID), string(body), apitest.With([]string{"Content-Type", "application/json"}, apitest.IfMatch("*"), key)...)
		if a.Code != http.StatusOK {
			b.Fatalf("%d %s", a.Code, a.Body)
		}
	}
}
