package curation_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/auth"
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// curator is a house whose lookups are answered from the catalogue in its database.
type curator struct {
	*apitest.Service
	book atomic.Pointer[conflict.Book]
	key  []string
}

func newCurator(t *testing.T) *curator {
	t.Helper()
	c := &curator{}
	c.Service = apitest.NewService(t, func(cfg *api.Config) {
		cfg.Book = c.book.Load
		cfg.Published = func(revision int64, content species.Catalogue) { c.take(t, revision, content) }
	})
	c.reload()
	c.key = c.Service.Key("here", auth.Curate)
	return c
}

// reload makes the ten species the catalogue.
func (c *curator) reload() {
	c.T.Helper()
	revision := c.Load("")
	content, err := c.Store.Catalogue(c.T.Context(), revision)
	if err != nil {
		c.T.Fatal(err)
	}
	c.take(c.T, revision, content)
}

func (c *curator) take(t testing.TB, revision int64, content species.Catalogue) {
	t.Helper()
	c.book.Store(fixture.Must(t)(fixture.BookOf(content, revision)))
}

// entry reads an entry and its entity tag.
func (c *curator) entry(id string) (entry map[string]any, tag string) {
	c.T.Helper()
	a := c.Get("/v1/species/" + id)
	return apitest.Body[map[string]any](c.T, a, http.StatusOK), a.Header().Get("ETag")
}

// put sends an entry, with the curator's key.
func (c *curator) put(id string, entry any, headers ...string) apitest.Answer {
	c.T.Helper()
	text, err := json.Marshal(entry)
	if err != nil {
		c.T.Fatal(err)
	}
	return c.putText(id, string(text), headers...)
}

func (c *curator) putText(id, text string, headers ...string) apitest.Answer {
	c.T.Helper()
	return c.Do(http.MethodPut, "/v1/species/"+id, text, apitest.With([]string{"Content-Type", "application/json"}, c.key, headers)...)
}

func (c *curator) revision() int64 {
	c.T.Helper()
	r, err := c.Store.CurrentRevision(c.T.Context())
	if err != nil {
		c.T.Fatal(err)
	}
	return r
}

var ifNew = []string{"If-None-Match", "*"}

func TestWhatGetAnswersCanBeSentBack(t *testing.T) {
	c := newCurator(t)
	before := c.revision()
	for i := range c.book.Load().Snapshot.Len() {
		id := string(c.book.Load().Snapshot.At(i).ID)
		entry, tag := c.entry(id)
		got := apitest.Body[gen.SpeciesChange](t, c.put(id, entry, apitest.IfMatch(tag)...), http.StatusOK)
		if got.Changed || len(got.Changes) > 0 {
			t.Errorf("%s: %+v", id, got.Changes)
		}
	}
	if after := c.revision(); after != before {
		t.Errorf("revision %d became %d", before, after)
	}
}

func TestACorrectionIsANewRevision(t *testing.T) {
	c := newCurator(t)
	before := c.revision()
	entry, tag := c.entry("danio-rerio")
	entry["note"] = "Corrected."
	a := c.Do(http.MethodPut, "/v1/species/danio-rerio?reason=measured", text(t, entry), apitest.With([]string{"Content-Type", "application/json"}, c.key, apitest.IfMatch(tag))...)
	got := apitest.Body[gen.SpeciesChange](t, a, http.StatusOK)
	keyID := strings.Split(c.key[1], "_")[1]
	if !got.Changed || got.Revision.Revision <= before || got.Revision.Note != "measured" || wire.Value(got.Revision.KeyId) != keyID {
		t.Errorf("%+v", got.Revision)
	}
	if len(got.Changes) != 1 || got.Changes[0].Field != "note" || wire.Value(got.Changes[0].New) != "Corrected." {
		t.Errorf("%+v", got.Changes)
	}
	now, nowTag := c.entry("danio-rerio")
	if now["note"] != "Corrected." || nowTag == tag || nowTag != a.Header().Get("ETag") {
		t.Errorf("note %v, tag %s, then %s, promised %s", now["note"], tag, nowTag, a.Header().Get("ETag"))
	}
	if again := c.Get("/v1/species/danio-rerio", "If-None-Match", tag); again.Code != http.StatusOK {
		t.Errorf("the old tag is still good: %d", again.Code)
	}
	stale := c.put("danio-rerio", entry, apitest.IfMatch(tag)...)
	apitest.WantProblem(t, "the old tag", stale, http.StatusPreconditionFailed, respond.PreconditionFailed)
}

func text(t testing.TB, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestThePreconditionsOfAnEntry(t *testing.T) {
	c := newCurator(t)
	entry, tag := c.entry("danio-rerio")
	for what, x := range map[string]struct {
		id      string
		headers []string
		status  int
		slug    respond.Slug
	}{
		"none":                         {"danio-rerio", nil, http.StatusPreconditionRequired, respond.PreconditionRequired},
		"new, and it is there":         {"danio-rerio", ifNew, http.StatusPreconditionFailed, respond.PreconditionFailed},
		"another's tag":                {"danio-rerio", apitest.IfMatch(`"abc"`), http.StatusPreconditionFailed, respond.PreconditionFailed},
		"a weak tag":                   {"danio-rerio", apitest.IfMatch("W/" + tag), http.StatusPreconditionFailed, respond.PreconditionFailed},
		"a tag, and it is not there":   {"danio-nobody", apitest.IfMatch(tag), http.StatusPreconditionFailed, respond.PreconditionFailed},
		"any, and it is not there":     {"danio-nobody", apitest.IfMatch("*"), http.StatusPreconditionFailed, respond.PreconditionFailed},
		"both, which contradict":       {"danio-rerio", apitest.With(apitest.IfMatch(tag), ifNew), http.StatusPreconditionFailed, respond.PreconditionFailed},
		"if none match but not any":    {"danio-rerio", []string{"If-None-Match", tag}, http.StatusBadRequest, respond.MalformedParameter},
		"a vernacular name in the URL": {"zebra%20danio", apitest.IfMatch(tag), http.StatusPreconditionFailed, respond.PreconditionFailed},
	} {
		apitest.WantProblem(t, what, c.put(x.id, entry, x.headers...), x.status, x.slug)
	}
	apitest.WantProblem(t, "delete without", c.Do(http.MethodDelete, "/v1/species/danio-rerio", "", c.key...), http.StatusPreconditionRequired, respond.PreconditionRequired)
	apitest.WantProblem(t, "delete with another", c.Do(http.MethodDelete, "/v1/species/danio-rerio", "", apitest.With(c.key, apitest.IfMatch(`"abc"`))...), http.StatusPreconditionFailed, respond.PreconditionFailed)
	apitest.WantProblem(t, "delete of nothing", c.Do(http.MethodDelete, "/v1/species/danio-nobody", "", apitest.With(c.key, apitest.IfMatch("*"))...), http.StatusNotFound, respond.NotFound)
}

// another is the zebra danio as an entry of another name.
func (c *curator) another() map[string]any {
	entry, _ := c.entry("danio-rerio")
	entry["scientific_name"] = "Danio kyathit"
	entry["names"] = []any{map[string]any{"language": "en", "names": []string{"Orange-finned danio"}}}
	for _, gone := range []string{"id", "synonyms", "hybridises_with"} {
		delete(entry, gone)
	}
	return entry
}

func TestANewEntryBringsItsSourceAndTakesItAlong(t *testing.T) {
	c := newCurator(t)
	entry := c.another()
	entry["traits"].([]any)[0].(map[string]any)["basis"] = "source:notebook"
	entry["sources"] = []any{map[string]any{"key": "notebook", "citation": "A notebook of our own"}}
	a := c.put("danio-kyathit", entry, ifNew...)
	got := apitest.Body[gen.SpeciesChange](t, a, http.StatusCreated)
	if a.Header().Get("Location") != "/v1/species/danio-kyathit" || len(got.Species.Sources) != 1 || got.Species.Sources[0].Citation != "A notebook of our own" {
		t.Errorf("%s, %+v", a.Header().Get("Location"), got.Species.Sources)
	}
	if a := c.Get("/v1/pairings/orange-finned%20danio/oscar"); a.Code != http.StatusOK {
		t.Errorf("the new name leads nowhere: %s", a.Body)
	}
	entry["sources"].([]any)[0].(map[string]any)["citation"] = "Another book"
	apitest.WantProblem(t, "another citation of the key", c.put("danio-kyathit", entry, apitest.IfMatch("*")...), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	delete(entry, "sources")
	if again := apitest.Body[gen.SpeciesChange](t, c.put("danio-kyathit", entry, apitest.IfMatch("*")...), http.StatusOK); again.Changed {
		t.Error("a known source need not be repeated")
	}
	if a := c.Do(http.MethodDelete, "/v1/species/danio-kyathit", "", apitest.With(c.key, apitest.IfMatch("*"))...); a.Code != http.StatusNoContent {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	if a := c.Get("/v1/species/danio-kyathit"); a.Code != http.StatusNotFound {
		t.Errorf("%d after the deletion", a.Code)
	}
	if now, err := c.Store.Catalogue(t.Context(), c.revision()); err != nil || len(now.Sources) != 0 {
		t.Errorf("sources %v, %v", now.Sources, err)
	}
}

func TestAnEntryThatOthersNeedStays(t *testing.T) {
	c := newCurator(t)
	before := c.revision()
	remove := func(id string) apitest.Answer {
		return c.Do(http.MethodDelete, "/v1/species/"+id, "", apitest.With(c.key, apitest.IfMatch("*"))...)
	}
	a := remove("paracheirodon-innesi")
	apitest.WantProblem(t, "a candidate", a, http.StatusConflict, respond.DependedOn)
	if !strings.Contains(a.Body.String(), "the word tetra") {
		t.Errorf("it does not name the word: %s", a.Body)
	}
	if c.revision() != before {
		t.Error("something was written")
	}
	form, _ := c.entry("danio-rerio")
	form["form"], form["form_of"] = "longfin", "danio-rerio"
	form["names"] = []any{map[string]any{"language": "en", "names": []string{"Veil danio"}}}
	delete(form, "id")
	if a := c.put("danio-rerio-longfin", form, ifNew...); a.Code != http.StatusCreated {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	a = remove("danio-rerio")
	apitest.WantProblem(t, "a parent", a, http.StatusConflict, respond.DependedOn)
	if !strings.Contains(a.Body.String(), "the form danio-rerio-longfin") {
		t.Errorf("it does not name the form: %s", a.Body)
	}
}

func TestAChangeThatComesTooLateIsRefused(t *testing.T) {
	c := newCurator(t)
	entry, tag := c.entry("danio-rerio")
	entry["note"] = "Mine."
	answers := make(chan apitest.Answer)
	for range 6 {
		go func() { answers <- c.put("danio-rerio", entry, apitest.IfMatch(tag)...) }()
	}
	won := 0
	for range 6 {
		switch a := <-answers; a.Code {
		case http.StatusOK:
			won++
		case http.StatusPreconditionFailed, http.StatusConflict:
		default:
			t.Errorf("%d %s", a.Code, a.Body)
		}
	}
	if won != 1 {
		t.Errorf("%d curators won", won)
	}
	if list, err := c.Store.Revisions(t.Context(), 10); err != nil || len(list) != 2 {
		t.Errorf("%d revisions, %v", len(list), err)
	}
}
