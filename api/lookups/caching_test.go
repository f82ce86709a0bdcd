package lookups_test

import (
	"net/http/httptest"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
)

func TestEntityTagsAndConditions(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for _, target := range apitest.Lookups {
		a := w.Get(target)
		tag := a.Header().Get("ETag")
		if a.Header().Get("Cache-Control") != "public, max-age=300" {
			t.Errorf("%s: Cache-Control %q", target, a.Header().Get("Cache-Control"))
		}
		for _, fields := range []string{tag, "W/" + tag, `"x", ` + tag, `"x" , W/"y",` + tag + `, "z"`, "*"} {
			b := w.Get(target, "If-None-Match", fields)
			if b.Code != 304 || b.Header().Get("ETag") != tag || b.Body.Len() > 0 {
				t.Errorf("%s, If-None-Match %s: %d", target, fields, b.Code)
			}
		}
		for _, fields := range []string{`"x"`, strings.Trim(tag, `"`), `"` + strings.Trim(tag, `"`), "W/", ",", `"" "`} {
			if b := w.Get(target, "If-None-Match", fields); b.Code != 200 {
				t.Errorf("%s, If-None-Match %s: %d", target, fields, b.Code)
			}
		}
	}
}

func TestEntityTagsDiffer(t *testing.T) {
	book := fixture.Few(t)
	tags := map[string]string{}
	note := func(name, tag string) {
		if other, twice := tags[tag]; twice || tag == "" {
			t.Errorf("%s has the tag of %s", name, other)
		}
		tags[tag] = name
	}
	w := apitest.Ask(t, apitest.ServerOf(t, book))
	for _, target := range append([]string{apitest.OscarNeon + "?units=us", apitest.OscarNeon + "?ph=7", "/v1/species?limit=2", "/v1/species?q=oscar", "/v1/species/oscar/pairings?order=highest"}, apitest.Lookups...) {
		note(target, w.Get(target).Header().Get("ETag"))
	}
	note("another version", apitest.Ask(t, apitest.ServerOf(t, book, func(c *api.Config) { c.Version = "other" })).Get(apitest.OscarNeon).Header().Get("ETag"))
	note("another catalogue", apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t))).Get(apitest.OscarNeon).Header().Get("ETag"))
}

func TestHeadIsGetWithoutABody(t *testing.T) {
	s := apitest.ServerOf(t, fixture.Few(t))
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	for _, target := range append([]string{"/", "/docs", "/openapi.yaml", "/livez", "/readyz", "/problems/internal", "/v1/species/oscarr"}, apitest.Lookups...) {
		get, body := apitest.Fetch(t, "GET", server.URL+target)
		head, none := apitest.Fetch(t, "HEAD", server.URL+target)
		if head.StatusCode != get.StatusCode || len(none) > 0 || head.ContentLength != int64(len(body)) || head.Header.Get("ETag") != get.Header.Get("ETag") {
			t.Errorf("%s: HEAD %d length %d, GET %d length %d", target, head.StatusCode, head.ContentLength, get.StatusCode, len(body))
		}
	}
}
