package api

import (
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

func TestEntityTagsAndConditions(t *testing.T) {
	w := ask(t, serverOf(t, few(t)))
	for _, target := range append([]string{"/openapi.yaml"}, lookups...) {
		a := w.get(target)
		tag := a.Header().Get("ETag")
		if a.Header().Get("Cache-Control") != "public, max-age=300" {
			t.Errorf("%s: Cache-Control %q", target, a.Header().Get("Cache-Control"))
		}
		for _, fields := range []string{tag, "W/" + tag, `"x", ` + tag, `"x" , W/"y",` + tag + `, "z"`, "*"} {
			b := w.get(target, "If-None-Match", fields)
			if b.Code != 304 || b.Header().Get("ETag") != tag || b.Body.Len() > 0 {
				t.Errorf("%s, If-None-Match %s: %d", target, fields, b.Code)
			}
		}
		for _, fields := range []string{`"x"`, strings.Trim(tag, `"`), `"` + strings.Trim(tag, `"`), "W/", ",", `"" "`} {
			if b := w.get(target, "If-None-Match", fields); b.Code != 200 {
				t.Errorf("%s, If-None-Match %s: %d", target, fields, b.Code)
			}
		}
	}
}

func TestEntityTagsDiffer(t *testing.T) {
	book := few(t)
	tags := map[string]string{}
	note := func(name, tag string) {
		if other, twice := tags[tag]; twice || tag == "" {
			t.Errorf("%s has the tag of %s", name, other)
		}
		tags[tag] = name
	}
	w := ask(t, serverOf(t, book))
	for _, target := range append([]string{oscarNeon + "?units=us", oscarNeon + "?ph=7", "/v1/species?limit=2", "/v1/species?q=oscar", "/v1/species/oscar/pairings?order=highest"}, lookups...) {
		note(target, w.get(target).Header().Get("ETag"))
	}
	note("another version", ask(t, serverOf(t, book, func(c *Config) { c.Version = "other" })).get(oscarNeon).Header().Get("ETag"))
	note("another catalogue", ask(t, serverOf(t, full(t))).get(oscarNeon).Header().Get("ETag"))
}

func TestHeadIsGetWithoutABody(t *testing.T) {
	s := serverOf(t, few(t))
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	for _, target := range append([]string{"/", "/docs", "/openapi.yaml", "/livez", "/readyz", "/problems/internal", "/v1/species/oscarr"}, lookups...) {
		get, body := fetch(t, "GET", server.URL+target)
		head, none := fetch(t, "HEAD", server.URL+target)
		if head.StatusCode != get.StatusCode || len(none) > 0 || head.ContentLength != int64(len(body)) || head.Header.Get("ETag") != get.Header.Get("ETag") {
			t.Errorf("%s: HEAD %d length %d, GET %d length %d", target, head.StatusCode, head.ContentLength, get.StatusCode, len(body))
		}
	}
}

func fetch(t testing.TB, method, url string) (*http.Response, []byte) {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, url, nil)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer, body
}

func TestTheLeastRecentlyUsedIsDropped(t *testing.T) {
	c := newLRU[int, string](2)
	c.put(1, "a")
	c.put(2, "b")
	c.get(1)
	c.put(3, "c")
	if _, ok := c.get(2); ok || c.len() != 2 {
		t.Error("2 was kept")
	}
	c.put(1, "d")
	if v, ok := c.get(1); !ok || v != "d" {
		t.Errorf("1 is %q", v)
	}
	none := newLRU[int, string](-1)
	if none.put(1, "a"); none.len() != 0 {
		t.Error("a cache of no size kept something")
	}
}
