package site_test

import (
	"bytes"
	"net/http"
	"strings"
	"testing"

	"commensal"
	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/respond"
)

func TestPagesForPeople(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t)))
	for _, target := range []string{"/problems/ambiguous-species", "/problems/not-found"} {
		a := w.Get(target)
		body := a.Body.String()
		if a.Code != 200 || !strings.HasPrefix(a.Header().Get("Content-Security-Policy"), "default-src 'none'; style-src 'sha256-") {
			t.Errorf("%s: %d %v", target, a.Code, a.Header())
		}
		for _, part := range []string{`<html lang="en">`, `name="viewport"`, "prefers-color-scheme", "Skip to the text"} {
			if !strings.Contains(body, part) {
				t.Errorf("%s lacks %s", target, part)
			}
		}
		if strings.Contains(body, "<script") || strings.Contains(body, "ZgotmplZ") {
			t.Errorf("%s has a script, or a value that the template refused", target)
		}
	}
	for _, p := range respond.ProblemTypes {
		if a := w.Get("/problems/" + string(p.Slug)); a.Code != 200 || !strings.Contains(a.Body.String(), "How to mend it") {
			t.Errorf("/problems/%s: %d", p.Slug, a.Code)
		}
	}
}

func TestAPageOfNoProblemIsNotThere(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	apitest.WantProblem(t, "an invented type", w.Get("/problems/none"), http.StatusNotFound, respond.NotFound)
}

func TestTheContractIsServedAsItIs(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	a := w.Get("/openapi.yaml")
	if !bytes.Equal(a.Body.Bytes(), commensal.Contract()) {
		t.Error("it is another")
	}
	if again := w.Get("/openapi.yaml", "If-None-Match", a.Header().Get("ETag")); again.Code != http.StatusNotModified {
		t.Errorf("asked again: %d", again.Code)
	}
}

func TestNewWithoutABookIsRefused(t *testing.T) {
	if _, err := api.New(api.Config{}); err == nil {
		t.Error("a server without a book was made")
	}
}
