package lists_test

import (
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/respond"
	"commensal/internal/conflict"
)

func TestTheSameListIsAnsweredTheSameWhetherKeptOrNot(t *testing.T) {
	keeping := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	fresh := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), func(cfg *api.Config) { cfg.CacheBytes = -1 }))
	for _, target := range []string{"/v1/checks", "/v1/checks?units=us", "/v1/additions", "/v1/groupings"} {
		body := `{"residents":[{"species":"oscar","count":1},{"species":"guppy","count":6}]}`
		want := fresh.Post(target, body).Body.String()
		for range 2 {
			a := keeping.Post(target, body)
			if a.Code != 200 || a.Body.String() != want || a.Header().Get("Cache-Control") != respond.NoStore {
				t.Errorf("%s: %d %v\n%s\n%s", target, a.Code, a.Header(), a.Body, want)
			}
		}
	}
	if a := keeping.Post("/v1/checks", `{"residents":[]}`); a.Code != 422 {
		t.Errorf("a bad list: %d", a.Code)
	}
	if a := keeping.Post("/v1/checks", `{"residents":[]}`); a.Code != 422 {
		t.Errorf("the same bad list: %d", a.Code)
	}
}

func TestANewBookForgetsAnswersToLists(t *testing.T) {
	book := fixture.Few(t)
	w := apitest.Ask(t, apitest.ServerOf(t, nil, func(cfg *api.Config) { cfg.Book = func() *conflict.Book { return book } }))
	body := `{"residents":[{"species":"oscar"}]}`
	if c := apitest.CheckOf(t, w, body); c.CatalogueRevision != 7 {
		t.Errorf("revision %d", c.CatalogueRevision)
	}
	book = fixture.Full(t)
	if c := apitest.CheckOf(t, w, body); c.CatalogueRevision != 1 {
		t.Errorf("revision %d after the change", c.CatalogueRevision)
	}
}
