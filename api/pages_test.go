package api_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/internal/conflict"
)

// TestPagesAreAnsweredBesideTheContract asks for pages through the whole server.
func TestPagesAreAnsweredBesideTheContract(t *testing.T) {
	s := apitest.ServerOf(t, fixture.Full(t), func(c *api.Config) { c.PublicURL = "https://fish.example" })
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	for target, part := range map[string]string{
		"/": "<form", "/docs": "/docs/operations/checkList", "/pairings/astronotus-ocellatus/paracheirodon-innesi": "https://fish.example/oembed?url=",
		"/lists/2-paracheirodon-innesi@60x30x36cm,25C": "<h1>", "/species/paracheirodon-innesi": "<h1>", "/reasons/predation": "<h1>",
		"/embed/species/paracheirodon-innesi": "<article", "/species/paracheirodon-innesi.svg": "<svg", "/suggest?q=neon": "Paracheirodon innesi", "/favicon.ico": "",
	} {
		answer, body := apitest.Fetch(t, "GET", server.URL+target)
		if answer.StatusCode != http.StatusOK || !strings.Contains(string(body), part) || answer.Header.Get("X-Request-Id") == "" {
			t.Errorf("%s: %d %.200s", target, answer.StatusCode, body)
		}
		if csp := answer.Header.Get("Content-Security-Policy"); !strings.Contains(csp, "default-src 'none'") || strings.Contains(csp, "frame-ancestors *") != strings.HasPrefix(target, "/embed/") {
			t.Errorf("%s: policy %q", target, csp)
		}
		if answer.Header.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s: is for every origin", target)
		}
	}
	docs, body := apitest.Fetch(t, "GET", server.URL+"/docs")
	for id := range apitest.Contract().Operations {
		if !strings.Contains(string(body), "/docs/operations/"+id) {
			t.Errorf("/docs lacks %s", id)
		}
	}
	if !strings.Contains(string(body), "/problems/ambiguous-species") || docs.ContentLength > 48<<10 {
		t.Errorf("/docs lacks the problem types, or has %d bytes", docs.ContentLength)
	}
}

// TestPagesCountAsLookupsDo spends the quota of an address on pages; what every page needs
// costs nothing.
func TestPagesCountAsLookupsDo(t *testing.T) {
	s := apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) {
		c.RateLimit = api.RateLimit{Quota: 3, Window: time.Hour}
	})
	w := apitest.Ask(t, s)
	for range 5 {
		if a := w.Get("/assets/style.css"); a.Code != http.StatusOK || a.Header().Get("RateLimit") != "" {
			t.Fatalf("a style sheet: %d", a.Code)
		}
	}
	for range 3 {
		if a := w.Get("/species"); a.Code != http.StatusOK || a.Header().Get("RateLimit") == "" {
			t.Fatalf("a page: %d", a.Code)
		}
	}
	for _, target := range []string{"/species", "/v1/species"} {
		if a := w.Get(target); a.Code != http.StatusTooManyRequests {
			t.Errorf("%s past the quota: %d", target, a.Code)
		}
	}
}

func TestPagesWaitForTheFirstCatalogue(t *testing.T) {
	s, err := api.New(api.Config{Book: func() *conflict.Book { return nil }})
	if err != nil {
		t.Fatal(err)
	}
	a := apitest.Ask(t, s).Get("/species/oscar")
	if a.Code != http.StatusServiceUnavailable || a.Header().Get("Retry-After") == "" || !strings.Contains(a.Body.String(), "<h1>") {
		t.Errorf("%d %s", a.Code, a.Body)
	}
}

// A server that a program asks itself has the operations, and no pages.
func TestWithoutPagesTheOperationsAreAnswered(t *testing.T) {
	s := apitest.ServerOf(t, fixture.Full(t), func(c *api.Config) { c.WithoutPages = true })
	for target, status := range map[string]int{apitest.OscarNeon: http.StatusOK, "/v1/species/oscar": http.StatusOK, "/": http.StatusNotFound, "/reasons/predation": http.StatusNotFound} {
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, apitest.NewRequest(t, "GET", target, ""))
		if w.Code != status {
			t.Errorf("%s: %d", target, w.Code)
		}
	}
	w := httptest.NewRecorder()
	s.Metrics().ServeHTTP(w, apitest.NewRequest(t, "GET", "/metrics", ""))
	if w.Code != http.StatusOK {
		t.Errorf("metrics: %d %.200s", w.Code, w.Body)
	}
}
