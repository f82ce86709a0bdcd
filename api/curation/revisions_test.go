package curation_test

import (
	"fmt"
	"net/http"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/middleware"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/auth"
	"commensal/internal/store"
)

// history makes, corrects, takes out and makes again the zebra danio's cousin.
func (c *curator) history() (revisions []int64) {
	c.T.Helper()
	entry := c.another()
	done := func(a apitest.Answer, status int) {
		c.T.Helper()
		if a.Code != status {
			c.T.Fatalf("%d %s", a.Code, a.Body)
		}
		revisions = append(revisions, c.revision())
	}
	done(c.put("danio-kyathit", entry, ifNew...), http.StatusCreated)
	fixture.Set(8.0, "traits", 0, "high")(entry)
	entry["note"] = "Larger than thought."
	done(c.put("danio-kyathit", entry, apitest.IfMatch("*")...), http.StatusOK)
	done(c.Do(http.MethodDelete, "/v1/species/danio-kyathit?reason=mistaken", "", apitest.With(c.key, apitest.IfMatch("*"))...), http.StatusNoContent)
	return revisions
}

func TestTheHistoryOfAnEntryIsForEverybody(t *testing.T) {
	c := newCurator(t)
	revisions := c.history()
	page := apitest.Body[gen.SpeciesRevisionsPage](t, c.Get("/v1/species/danio-kyathit/revisions"), http.StatusOK)
	if page.Species != "danio-kyathit" || len(page.Revisions) != 3 || page.Next != nil {
		t.Fatalf("%+v", page)
	}
	slices.Reverse(page.Revisions)
	kinds := []gen.SpeciesRevisionKind{gen.SpeciesRevisionKindAdded, gen.SpeciesRevisionKindChanged, gen.SpeciesRevisionKindRemoved}
	for i, r := range page.Revisions {
		if r.Kind != kinds[i] || r.Revision.Revision != revisions[i] || r.Revision.KeyId != nil || r.Revision.CreatedAt.IsZero() {
			t.Errorf("%d: %+v", i, r)
		}
	}
	want := []gen.FieldChange{
		{Field: "note", Old: wire.Optional("Never still, which unsettles quiet fish and out-eats them; long-finned and fluorescent strains are the same fish."), New: wire.Optional("Larger than thought.")},
		{Field: "trait length", Old: wire.Optional("3.5 4.2 5 cm memory"), New: wire.Optional("3.5 4.2 8 cm memory")},
	}
	if got := page.Revisions[1].Changes; !reflect.DeepEqual(got, want) {
		t.Errorf("%+v", got)
	}
	if page.Revisions[2].Revision.Note != "mistaken" || page.Revisions[0].Revision.Note != "danio-kyathit: corrected over the API" {
		t.Errorf("notes %q, %q", page.Revisions[2].Revision.Note, page.Revisions[0].Revision.Note)
	}
	ours := apitest.Body[gen.SpeciesRevisionsPage](t, c.Get("/v1/species/danio-kyathit/revisions", c.key...), http.StatusOK)
	if id := strings.Split(c.key[1], "_")[1]; wire.Value(ours.Revisions[0].Revision.KeyId) != id {
		t.Errorf("a curator is told %+v", ours.Revisions[0].Revision)
	}
	theirs := c.Get("/v1/species/danio-kyathit/revisions", c.Service.Key("there", auth.TanksRead, auth.Admin)...)
	if strings.Contains(theirs.Body.String(), "key_id") {
		t.Errorf("others are told whose key it was: %s", theirs.Body)
	}
	one := apitest.Body[gen.SpeciesRevisionsPage](t, c.Get("/v1/species/zebra%20danio/revisions"), http.StatusOK)
	if one.Species != "danio-rerio" || len(one.Revisions) != 1 || one.Revisions[0].Kind != gen.SpeciesRevisionKindAdded {
		t.Errorf("by its name: %+v", one)
	}
}

func TestHistoriesHavePages(t *testing.T) {
	c := newCurator(t)
	c.history()
	for path, want := range map[string]int{"/v1/species/danio-kyathit/revisions": 3, "/v1/revisions": 4} {
		seen, next := 0, path+"?limit=2"
		for next != "" {
			a := c.Get(next)
			p := apitest.Body[struct {
				Revisions []any
				Next      *string
			}](t, a, http.StatusOK)
			seen += len(p.Revisions)
			next = ""
			if p.Next != nil {
				next = path + "?limit=2&cursor=" + *p.Next
				if !strings.Contains(a.Header().Get("Link"), *p.Next) {
					t.Errorf("Link %q", a.Header().Get("Link"))
				}
			}
		}
		if seen != want {
			t.Errorf("%s: %d in all, want %d", path, seen, want)
		}
	}
	for _, bad := range []string{"/v1/revisions?cursor=abc", "/v1/species/danio-rerio/revisions?cursor=abc"} {
		apitest.WantProblem(t, bad, c.Get(bad), http.StatusBadRequest, respond.InvalidCursor)
	}
	for _, bad := range []string{"/v1/revisions?limit=0", "/v1/species/danio-rerio/revisions?limit=201"} {
		apitest.WantProblem(t, bad, c.Get(bad), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	}
	apitest.WantProblem(t, "nobody", c.Get("/v1/species/danio-nobody/revisions"), http.StatusNotFound, respond.UnknownSpecies)
	apitest.WantProblem(t, "many", c.Get("/v1/species/tetra/revisions"), http.StatusUnprocessableEntity, respond.AmbiguousSpecies)
}

func TestTheRevisionsOfTheCatalogue(t *testing.T) {
	c := newCurator(t)
	revisions := c.history()
	list := apitest.Body[gen.RevisionsPage](t, c.Get("/v1/revisions"), http.StatusOK).Revisions
	if len(list) != 4 || list[0].Revision != revisions[2] || list[0].SpeciesCount != 10 || list[1].SpeciesCount != 11 || list[0].KeyId != nil || list[3].Note != "ten species" {
		t.Errorf("%+v", list)
	}
	if ours := apitest.Body[gen.RevisionsPage](t, c.Get("/v1/revisions", c.key...), http.StatusOK).Revisions; ours[0].KeyId == nil || ours[3].KeyId != nil {
		t.Errorf("a curator is told %+v", ours)
	}
}

func TestTheDifferenceOfTwoRevisions(t *testing.T) {
	c := newCurator(t)
	first, revisions := c.revision(), c.history()
	difference := func(from int64, query string) gen.RevisionDifference {
		t.Helper()
		return apitest.Body[gen.RevisionDifference](t, c.Get(fmt.Sprintf("/v1/revisions/%d/difference%s", from, query), c.key...), http.StatusOK)
	}
	d := difference(first, fmt.Sprintf("?to=%d", revisions[1]))
	if len(d.Added) != 1 || d.Added[0].Id != "danio-kyathit" || len(d.Removed)+len(d.Changed)+len(d.Lists) != 0 || d.Reordered || d.From.Revision != first || d.To.Revision != revisions[1] {
		t.Errorf("%+v", d)
	}
	d = difference(revisions[0], fmt.Sprintf("?to=%d", revisions[1]))
	if len(d.Changed) != 1 || d.Changed[0].Species.VernacularName != "Orange-finned danio" || len(d.Changed[0].Changes) != 2 {
		t.Errorf("%+v", d)
	}
	d = difference(revisions[1], "")
	if len(d.Removed) != 1 || d.To.Revision != revisions[2] {
		t.Errorf("%+v", d)
	}
	for _, none := range []string{"0", "-1", "9999", "x", "01", "99999999999999999999"} {
		apitest.WantProblem(t, none, c.Get("/v1/revisions/"+none+"/difference", c.key...), http.StatusNotFound, respond.NotFound)
		apitest.WantProblem(t, "to "+none, c.Get(fmt.Sprintf("/v1/revisions/%d/difference?to=%s", first, none), c.key...), http.StatusNotFound, respond.NotFound)
	}
}

func TestGoingBackIsANewRevision(t *testing.T) {
	c := newCurator(t)
	begin, revisions := c.revision(), c.history()
	before, _ := c.entry("danio-rerio")
	restore := func(revision int64, body string, headers ...string) apitest.Answer {
		return c.Post(fmt.Sprintf("/v1/revisions/%d/restore", revision), body, apitest.With(c.key, headers)...)
	}
	key := apitest.Idempotency("back")
	first := restore(revisions[1], `{"reason":"it was right"}`, key...)
	got := apitest.Body[gen.Revision](t, first, http.StatusCreated)
	if got.Revision <= revisions[2] || got.Note != "it was right" || got.SpeciesCount != 11 || got.KeyId == nil {
		t.Errorf("%+v", got)
	}
	if entry, _ := c.entry("danio-kyathit"); entry["note"] != "Larger than thought." {
		t.Errorf("%v", entry)
	}
	again := restore(revisions[1], `{"reason":"it was right"}`, key...)
	if again.Code != http.StatusCreated || again.Body.String() != first.Body.String() || again.Header().Get("Idempotent-Replayed") != "true" || c.revision() != got.Revision {
		t.Errorf("again: %s", again.Body)
	}
	if there := apitest.Body[gen.Revision](t, restore(revisions[1], "{}"), http.StatusOK); there.Revision != got.Revision {
		t.Errorf("back to where it is: %+v", there)
	}
	if back := apitest.Body[gen.Revision](t, restore(begin, "{}"), http.StatusCreated); back.Note != fmt.Sprintf("back to revision %d", begin) {
		t.Errorf("%+v", back)
	}
	after, _ := c.entry("danio-rerio")
	delete(before, "catalogue_revision")
	delete(after, "catalogue_revision")
	if !reflect.DeepEqual(before, after) {
		t.Errorf("%v\n%v", before, after)
	}
	apitest.WantProblem(t, "no such revision", restore(9999, "{}"), http.StatusNotFound, respond.NotFound)
}

// A revision of a time with other rules is not taken over unseen.
func TestGoingBackObeysTheRulesOfToday(t *testing.T) {
	c := newCurator(t)
	bad, err := c.Store.Catalogue(t.Context(), c.revision())
	if err != nil {
		t.Fatal(err)
	}
	bad.Species[0].Family = "Something else"
	wrong, _, err := c.Store.LoadCatalogue(t.Context(), bad, "by an older program")
	if err != nil {
		t.Fatal(err)
	}
	c.reload()
	a := c.Post(fmt.Sprintf("/v1/revisions/%d/restore", wrong), "{}", c.key...)
	apitest.WantProblem(t, "restore", a, http.StatusUnprocessableEntity, respond.ImpossibleValue)
	if !strings.Contains(a.Body.String(), "astronotus-ocellatus: family") {
		t.Errorf("%s", a.Body)
	}
}

// An error that was there before keeps nobody from correcting something else.
func TestAnOldErrorElsewhereDoesNotStopACorrection(t *testing.T) {
	c := newCurator(t)
	bad, err := c.Store.Catalogue(t.Context(), c.revision())
	if err != nil {
		t.Fatal(err)
	}
	bad.Species[0].Family = "Something else"
	if _, _, err := c.Store.LoadCatalogue(t.Context(), bad, "by an older program"); err != nil {
		t.Fatal(err)
	}
	entry, _ := c.entry("danio-rerio")
	entry["note"] = "Corrected."
	if a := c.put("danio-rerio", entry, apitest.IfMatch("*")...); a.Code != http.StatusOK {
		t.Errorf("%d %s", a.Code, a.Body)
	}
	entry, _ = c.entry("astronotus-ocellatus")
	apitest.WantProblem(t, "the entry itself", c.put("astronotus-ocellatus", entry, apitest.IfMatch("*")...), http.StatusUnprocessableEntity, respond.ImpossibleValue)
}

func TestAnEmptyDatabaseHasNothingToCorrect(t *testing.T) {
	h := apitest.NewService(t)
	key := h.Key("here", auth.Curate)
	entry := apitest.ExampleBody(t, apitest.Contract().Operations["saveSpecies"])
	a := h.Do(http.MethodPut, "/v1/species/danio-rerio", entry, apitest.With([]string{"Content-Type", "application/json"}, ifNew, key)...)
	apitest.WantProblem(t, "put", a, http.StatusServiceUnavailable, respond.NotReady)
	if list := apitest.Body[gen.RevisionsPage](t, h.Get("/v1/revisions"), http.StatusOK); len(list.Revisions) != 0 {
		t.Errorf("%+v", list)
	}
}

// What everybody may read is limited, and needs the database, which may be away.
func TestHistoriesAreLimitedAndNeedTheDatabase(t *testing.T) {
	paths := []string{"/v1/revisions", "/v1/species/danio-rerio/revisions"}
	limited := apitest.NewService(t, func(c *api.Config) { c.RateLimit = middleware.RateLimit{Quota: 1, Window: time.Hour} })
	limited.Get("/v1/revisions")
	away, err := store.Open(t.Context(), "postgres://127.0.0.1:1/nothing?sslmode=disable", store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(away.Close)
	for _, path := range paths {
		apitest.WantProblem(t, path, limited.Get(path), http.StatusTooManyRequests, respond.TooManyRequests)
		apitest.WantProblem(t, path, apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t))).Get(path), http.StatusServiceUnavailable, respond.DatabaseAway)
		apitest.WantProblem(t, path, apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) { c.Store, c.Verifier = away, auth.NewVerifier(away, nil) })).Get(path), http.StatusServiceUnavailable, respond.DatabaseAway)
	}
}
