package api

import (
	"testing"

	"commensal/internal/conflict"
)

func TestTheSameListIsAnsweredTheSameWhetherKeptOrNot(t *testing.T) {
	keeping := ask(t, serverOf(t, few(t)))
	fresh := ask(t, serverOf(t, few(t), func(cfg *Config) { cfg.CacheEntries = -1 }))
	for _, target := range []string{"/v1/checks", "/v1/checks?units=us", "/v1/additions", "/v1/groupings"} {
		body := `{"residents":[{"species":"oscar","count":1},{"species":"guppy","count":6}]}`
		want := fresh.post(target, body).Body.String()
		for range 2 {
			a := keeping.post(target, body)
			if a.Code != 200 || a.Body.String() != want || a.Header().Get("Cache-Control") != transient {
				t.Errorf("%s: %d %v\n%s\n%s", target, a.Code, a.Header(), a.Body, want)
			}
		}
	}
	if a := keeping.post("/v1/checks", `{"residents":[]}`); a.Code != 422 {
		t.Errorf("a bad list: %d", a.Code)
	}
	if a := keeping.post("/v1/checks", `{"residents":[]}`); a.Code != 422 {
		t.Errorf("the same bad list: %d", a.Code)
	}
}

func TestANewBookForgetsAnswersToLists(t *testing.T) {
	book := few(t)
	w := ask(t, serverOf(t, nil, func(cfg *Config) { cfg.Book = func() *conflict.Book { return book } }))
	body := `{"residents":[{"species":"oscar"}]}`
	if c := checkOf(t, w, body); c.CatalogueRevision != 7 {
		t.Errorf("revision %d", c.CatalogueRevision)
	}
	book = full(t)
	if c := checkOf(t, w, body); c.CatalogueRevision != 1 {
		t.Errorf("revision %d after the change", c.CatalogueRevision)
	}
}
