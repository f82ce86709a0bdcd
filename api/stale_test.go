package api_test

import (
	"fmt"
	"net/http"
	"sync/atomic"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/respond"
	"commensal/internal/store"
)

func TestAnswersSayThatTheCatalogueMayBeStale(t *testing.T) {
	var away atomic.Bool
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) { c.Stale = away.Load }))
	tag := w.Get(apitest.OscarNeon).Header().Get("ETag")
	for _, stale := range []bool{false, true, false} {
		away.Store(stale)
		want := map[bool]string{true: "?1"}[stale]
		answers := []apitest.Answer{w.Post("/v1/pairings", `{"species":["oscar","guppy"]}`), w.Get(apitest.OscarNeon, "If-None-Match", tag), w.Get("/v1/species/nothing-like-it")}
		for _, target := range apitest.Lookups {
			answers = append(answers, w.Get(target))
		}
		for _, a := range answers {
			if got := a.Header().Get("Catalogue-Stale"); got != want {
				t.Errorf("%s %s: %q, want %q", a.Request.Method, a.Request.URL, got, want)
			}
		}
		if a := answers[1]; a.Code != http.StatusNotModified {
			t.Errorf("stale %v: the entity tag is another one: %d", stale, a.Code)
		}
		if a := w.Get("/livez"); a.Header().Get("Catalogue-Stale") != "" {
			t.Error("livez speaks of the catalogue")
		}
	}
}

func TestAServiceThatIsAboutToStopIsNotReadyAndStillAnswers(t *testing.T) {
	var stopping atomic.Bool
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) { c.Stopping = stopping.Load }))
	if a := w.Get("/readyz"); a.Code != http.StatusOK {
		t.Fatalf("readyz: %d", a.Code)
	}
	stopping.Store(true)
	apitest.WantProblem(t, "readyz", w.Get("/readyz"), http.StatusServiceUnavailable, respond.NotReady)
	for _, target := range append([]string{"/livez"}, apitest.Lookups...) {
		if a := w.Get(target); a.Code != http.StatusOK {
			t.Errorf("%s: %d", target, a.Code)
		}
	}
}

// What a request refers to may go while the request is carried out.
func TestWhatGoesMeanwhileIsNotThere(t *testing.T) {
	err := respond.StoreFault(fmt.Errorf("add: %w", &store.ConstraintError{SQLState: store.ForeignKeyViolation, Constraint: "check_overrides_record_is_on_hold"}))
	if f, told := respond.FaultOf(err, nil); !told || f.Slug != respond.NotFound {
		t.Errorf("%v", err)
	}
}
