package api_test

import (
	"net/url"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
)

func TestPathsThatDoNotExist(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for _, target := range []string{"/v2/species", "/v1", "/v1/", "/v1/species/", "/v1/pairings/oscar", "/v1/pairings/oscar/",
		"/v1/pairings//oscar", "/v1/pairings/a/b/c", "/%00", "/%ff", "/problems/", "//", "/..", "/docs/", "/v1/species//pairings"} {
		if a := w.Get(target); a.Code != 404 {
			t.Errorf("%s: %d %s", target, a.Code, a.Body)
		} else if p := apitest.ProblemIn(t, a); p.Type != "/problems/not-found" {
			t.Errorf("%s: %s", target, p.Type)
		}
	}
	if a := w.Get("/problems/no-such"); a.Code != 404 {
		t.Errorf("an unknown problem type: %d", a.Code)
	}
}

func TestMethodsThatDoNotExistNameThoseThatDo(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for target, allow := range map[string]string{
		apitest.OscarNeon: "OPTIONS, GET, HEAD",
		"/v1/pairings":    "OPTIONS, POST",
		"/livez":          "OPTIONS, GET, HEAD",
		"/":               "OPTIONS, GET, HEAD",
	} {
		for _, method := range []string{"PUT", "DELETE", "PATCH", "BREW"} {
			a := w.Do(method, target, "")
			if a.Code != 405 || a.Header().Get("Allow") != allow {
				t.Errorf("%s %s: %d, Allow %q", method, target, a.Code, a.Header().Get("Allow"))
			}
		}
	}
	if a := w.Get("/v1/pairings"); a.Code != 405 {
		t.Errorf("GET of the matrix: %d", a.Code)
	}
}

// Some programs put a byte order mark before UTF-8; it says nothing, and one in the middle is no JSON.
func TestAByteOrderMarkBeforeABodyIsTaken(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	plain := w.Post("/v1/pairings", `{"species":["oscar","neon tetra"]}`)
	marked := w.Post("/v1/pairings", "\ufeff"+`{"species":["oscar","neon tetra"]}`)
	if plain.Code != 200 || marked.Code != 200 || plain.Body.String() != marked.Body.String() {
		t.Errorf("%d without a mark, %d with one: %s", plain.Code, marked.Code, marked.Body)
	}
	if a := w.Post("/v1/pairings", "{\ufeff"+`"species":["oscar"]}`); a.Code != 400 {
		t.Errorf("a mark within a body: %d", a.Code)
	}
}

// FuzzHandler holds that no request is a fault of the service, and that whatever is
// answered is in the contract.
func FuzzHandler(f *testing.F) {
	f.Add("GET", "/v1/species/oscar", "", "")
	f.Add("POST", "/v1/pairings", "", `{"species":["oscar","tetra"]}`)
	f.Add("HEAD", "/v1/pairings/a/%00", "tank=1", "")
	f.Add("POST", "/v1/pairings", "x", "{\"species\":[\"\u0000\"]}")
	f.Add("OPTIONS", "/problems/x", "", "")
	f.Add("GET", "/v1/species/%2F/pairings", "cursor=AQ", "")
	s := apitest.ServerOf(f, fixture.Few(f))
	f.Fuzz(func(t *testing.T, method, path, query, body string) {
		u, err := url.ParseRequestURI(path)
		if err != nil || !strings.HasPrefix(path, "/") {
			t.Skip("not a request target")
		}
		r := apitest.NewRequest(t, "GET", "/", body)
		r.Method, r.URL = method, u
		r.URL.RawQuery = query
		r.Header.Set("Content-Type", "application/json")
		if a := apitest.Ask(t, s).Send(r); a.Code >= 500 {
			t.Errorf("%s %s?%s: %d", method, path, query, a.Code)
		}
	})
}
