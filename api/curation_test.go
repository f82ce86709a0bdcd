package api

import (
	"encoding/json"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"

	"commensal/api/gen"
	"commensal/internal/auth"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/store"
)

// curia is a house whose lookups are answered from the catalogue in its database.
type curia struct {
	*house
	book atomic.Pointer[conflict.Book]
	key  []string
}

func newCuria(t *testing.T) *curia {
	t.Helper()
	c := &curia{}
	c.house = newHouse(t, func(cfg *Config) {
		cfg.Book = c.book.Load
		cfg.Published = func(revision int64, content species.Catalogue) { c.take(t, revision, content) }
	})
	c.reload()
	c.key = c.house.key("here", auth.Curate)
	return c
}

// reload makes the ten species the catalogue.
func (c *curia) reload() {
	c.t.Helper()
	revision := c.load("")
	content, err := c.store.Catalogue(c.t.Context(), revision)
	if err != nil {
		c.t.Fatal(err)
	}
	c.take(c.t, revision, content)
}

func (c *curia) take(t testing.TB, revision int64, content species.Catalogue) {
	t.Helper()
	c.book.Store(must(t)(bookOf(content, revision)))
}

// entry reads an entry and its entity tag.
func (c *curia) entry(id string) (entry map[string]any, tag string) {
	c.t.Helper()
	a := c.get("/v1/species/" + id)
	return body[map[string]any](c.t, a, http.StatusOK), a.Header().Get("ETag")
}

// put sends an entry, with the curator's key.
func (c *curia) put(id string, entry any, headers ...string) answer {
	c.t.Helper()
	text, err := json.Marshal(entry)
	if err != nil {
		c.t.Fatal(err)
	}
	return c.putText(id, string(text), headers...)
}

func (c *curia) putText(id, text string, headers ...string) answer {
	c.t.Helper()
	return c.do(http.MethodPut, "/v1/species/"+id, text, with([]string{"Content-Type", "application/json"}, c.key, headers)...)
}

func (c *curia) revision() int64 {
	c.t.Helper()
	r, err := c.store.CurrentRevision(c.t.Context())
	if err != nil {
		c.t.Fatal(err)
	}
	return r
}

func ifMatch(tag string) []string { return []string{"If-Match", tag} }

var ifNew = []string{"If-None-Match", "*"}

func TestWhatGetAnswersCanBeSentBack(t *testing.T) {
	c := newCuria(t)
	before := c.revision()
	for i := range c.book.Load().Snapshot.Len() {
		id := string(c.book.Load().Snapshot.At(i).ID)
		entry, tag := c.entry(id)
		got := body[gen.SpeciesChange](t, c.put(id, entry, ifMatch(tag)...), http.StatusOK)
		if got.Changed || len(got.Changes) > 0 {
			t.Errorf("%s: %+v", id, got.Changes)
		}
	}
	if after := c.revision(); after != before {
		t.Errorf("revision %d became %d", before, after)
	}
}

func TestACorrectionIsANewRevision(t *testing.T) {
	c := newCuria(t)
	before := c.revision()
	entry, tag := c.entry("danio-rerio")
	entry["note"] = "Corrected."
	a := c.do(http.MethodPut, "/v1/species/danio-rerio?reason=measured", text(t, entry), with([]string{"Content-Type", "application/json"}, c.key, ifMatch(tag))...)
	got := body[gen.SpeciesChange](t, a, http.StatusOK)
	keyID := strings.Split(c.key[1], "_")[1]
	if !got.Changed || got.Revision.Revision <= before || got.Revision.Note != "measured" || value(got.Revision.KeyId) != keyID {
		t.Errorf("%+v", got.Revision)
	}
	if len(got.Changes) != 1 || got.Changes[0].Field != "note" || value(got.Changes[0].New) != "Corrected." {
		t.Errorf("%+v", got.Changes)
	}
	now, nowTag := c.entry("danio-rerio")
	if now["note"] != "Corrected." || nowTag == tag || nowTag != a.Header().Get("ETag") {
		t.Errorf("note %v, tag %s, then %s, promised %s", now["note"], tag, nowTag, a.Header().Get("ETag"))
	}
	if again := c.get("/v1/species/danio-rerio", "If-None-Match", tag); again.Code != http.StatusOK {
		t.Errorf("the old tag is still good: %d", again.Code)
	}
	stale := c.put("danio-rerio", entry, ifMatch(tag)...)
	wantProblem(t, "the old tag", stale, http.StatusPreconditionFailed, preconditionFailed)
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
	c := newCuria(t)
	entry, tag := c.entry("danio-rerio")
	for what, x := range map[string]struct {
		id      string
		headers []string
		status  int
		slug    slug
	}{
		"none":                         {"danio-rerio", nil, http.StatusPreconditionRequired, preconditionRequired},
		"new, and it is there":         {"danio-rerio", ifNew, http.StatusPreconditionFailed, preconditionFailed},
		"another's tag":                {"danio-rerio", ifMatch(`"abc"`), http.StatusPreconditionFailed, preconditionFailed},
		"a weak tag":                   {"danio-rerio", ifMatch("W/" + tag), http.StatusPreconditionFailed, preconditionFailed},
		"a tag, and it is not there":   {"danio-nobody", ifMatch(tag), http.StatusPreconditionFailed, preconditionFailed},
		"any, and it is not there":     {"danio-nobody", ifMatch("*"), http.StatusPreconditionFailed, preconditionFailed},
		"both, which contradict":       {"danio-rerio", with(ifMatch(tag), ifNew), http.StatusPreconditionFailed, preconditionFailed},
		"if none match but not any":    {"danio-rerio", []string{"If-None-Match", tag}, http.StatusBadRequest, malformedParameter},
		"a vernacular name in the URL": {"zebra%20danio", ifMatch(tag), http.StatusPreconditionFailed, preconditionFailed},
	} {
		wantProblem(t, what, c.put(x.id, entry, x.headers...), x.status, x.slug)
	}
	wantProblem(t, "delete without", c.do(http.MethodDelete, "/v1/species/danio-rerio", "", c.key...), http.StatusPreconditionRequired, preconditionRequired)
	wantProblem(t, "delete with another", c.do(http.MethodDelete, "/v1/species/danio-rerio", "", with(c.key, ifMatch(`"abc"`))...), http.StatusPreconditionFailed, preconditionFailed)
	wantProblem(t, "delete of nothing", c.do(http.MethodDelete, "/v1/species/danio-nobody", "", with(c.key, ifMatch("*"))...), http.StatusNotFound, notFound)
}

// another is the zebra danio as an entry of another name.
func (c *curia) another() map[string]any {
	entry, _ := c.entry("danio-rerio")
	entry["scientific_name"] = "Danio kyathit"
	entry["names"] = []any{map[string]any{"language": "en", "names": []string{"Orange-finned danio"}}}
	for _, gone := range []string{"id", "synonyms", "hybridises_with"} {
		delete(entry, gone)
	}
	return entry
}

func TestANewEntryBringsItsSourceAndTakesItAlong(t *testing.T) {
	c := newCuria(t)
	entry := c.another()
	entry["traits"].([]any)[0].(map[string]any)["basis"] = "source:notebook"
	entry["sources"] = []any{map[string]any{"key": "notebook", "citation": "A notebook of our own"}}
	a := c.put("danio-kyathit", entry, ifNew...)
	got := body[gen.SpeciesChange](t, a, http.StatusCreated)
	if a.Header().Get("Location") != "/v1/species/danio-kyathit" || len(got.Species.Sources) != 1 || got.Species.Sources[0].Citation != "A notebook of our own" {
		t.Errorf("%s, %+v", a.Header().Get("Location"), got.Species.Sources)
	}
	if a := c.get("/v1/pairings/orange-finned%20danio/oscar"); a.Code != http.StatusOK {
		t.Errorf("the new name leads nowhere: %s", a.Body)
	}
	entry["sources"].([]any)[0].(map[string]any)["citation"] = "Another book"
	wantProblem(t, "another citation of the key", c.put("danio-kyathit", entry, ifMatch("*")...), http.StatusUnprocessableEntity, impossibleValue)
	delete(entry, "sources")
	if again := body[gen.SpeciesChange](t, c.put("danio-kyathit", entry, ifMatch("*")...), http.StatusOK); again.Changed {
		t.Error("a known source need not be repeated")
	}
	if a := c.do(http.MethodDelete, "/v1/species/danio-kyathit", "", with(c.key, ifMatch("*"))...); a.Code != http.StatusNoContent {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	if a := c.get("/v1/species/danio-kyathit"); a.Code != http.StatusNotFound {
		t.Errorf("%d after the deletion", a.Code)
	}
	if now, err := c.store.Catalogue(t.Context(), c.revision()); err != nil || len(now.Sources) != 0 {
		t.Errorf("sources %v, %v", now.Sources, err)
	}
}

func TestAnEntryThatOthersNeedStays(t *testing.T) {
	c := newCuria(t)
	before := c.revision()
	remove := func(id string) answer {
		return c.do(http.MethodDelete, "/v1/species/"+id, "", with(c.key, ifMatch("*"))...)
	}
	a := remove("paracheirodon-innesi")
	wantProblem(t, "a candidate", a, http.StatusConflict, dependedOn)
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
	wantProblem(t, "a parent", a, http.StatusConflict, dependedOn)
	if !strings.Contains(a.Body.String(), "the form danio-rerio-longfin") {
		t.Errorf("it does not name the form: %s", a.Body)
	}
}

func TestAChangeThatComesTooLateIsRefused(t *testing.T) {
	c := newCuria(t)
	entry, tag := c.entry("danio-rerio")
	s := &Server{}
	for header, want := range map[string]slug{tag: preconditionFailed, "*": catalogueMoved, " * ": catalogueMoved} {
		if f, _ := faultOf(s.lost(storeFault(store.ErrRevisionMoved), &header), nil); f.slug != want {
			t.Errorf("If-Match %q: %s, want %s", header, f.slug, want)
		}
	}
	if f, _ := faultOf(s.lost(storeFault(store.ErrRevisionMoved), nil), nil); f.slug != catalogueMoved {
		t.Errorf("If-None-Match: %s", f.slug)
	}
	entry["note"] = "Mine."
	answers := make(chan answer)
	for range 6 {
		go func() { answers <- c.put("danio-rerio", entry, ifMatch(tag)...) }()
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
	if list, err := c.store.Revisions(t.Context(), 10); err != nil || len(list) != 2 {
		t.Errorf("%d revisions, %v", len(list), err)
	}
}
