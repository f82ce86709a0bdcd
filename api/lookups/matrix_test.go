package lookups_test

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
)

func TestMatrixScoresEveryPairAndEachOwnKind(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	a := w.Post("/v1/pairings", `{"species":["Oscar","paracheirodon-innesi","Betta","oscar"]}`, "Idempotency-Key", "abc")
	var m gen.PairingMatrix
	if err := json.Unmarshal(a.Body.Bytes(), &m); err != nil || a.Code != 200 {
		t.Fatalf("%d %v %s", a.Code, err, a.Body)
	}
	if len(m.Species) != 4 || m.Species[3].Id != "astronotus-ocellatus" {
		t.Errorf("species %v", m.Species)
	}
	for i := range m.Scores {
		for j := range m.Scores[i] {
			target := "/v1/pairings/" + m.Species[i].Id + "/" + m.Species[j].Id
			if p := apitest.PairingOf(t, w.Get(target)); p.Score != m.Scores[i][j] {
				t.Errorf("%s: matrix %v, pairing %v", target, m.Scores[i][j], p.Score)
			}
		}
	}
}

func TestMatrixOf200(t *testing.T) {
	book := fixture.Full(t)
	names := make([]string, 200)
	for i := range names {
		names[i] = string(book.Snapshot.At(i % book.Snapshot.Len()).ID)
	}
	body, err := json.Marshal(map[string]any{"species": names})
	if err != nil {
		t.Fatal(err)
	}
	a := apitest.Ask(t, apitest.ServerOf(t, book)).Post("/v1/pairings", string(body))
	var m gen.PairingMatrix
	if err := json.Unmarshal(a.Body.Bytes(), &m); err != nil || a.Code != 200 || len(m.Scores) != 200 || len(m.Scores[199]) != 200 {
		t.Fatalf("%d %v", a.Code, err)
	}
}

func TestBadMatrixBodiesAreRefused(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	long := strings.Repeat(`"oscar",`, 200) + `"oscar"`
	for _, c := range []struct {
		name, body string
		status     int
		slug       respond.Slug
		pointers   []string
	}{
		{"no body", "", 400, respond.MalformedBody, nil},
		{"half a body", `{"species":["oscar"`, 400, respond.MalformedBody, nil},
		{"not JSON", `species=oscar`, 400, respond.MalformedBody, nil},
		{"two bodies", `{"species":["oscar"]}{"species":["oscar"]}`, 400, respond.MalformedBody, nil},
		{"something behind the body", `{"species":["oscar"]} x`, 400, respond.MalformedBody, nil},
		{"broken UTF-8", "{\"species\":[\"\xff\"]}", 400, respond.MalformedBody, nil},
		{"a NUL in a name", `{"species":["os\u0000car"]}`, 400, respond.MalformedBody, nil},
		{"a field twice", `{"species":["oscar"],"species":["betta"]}`, 400, respond.MalformedBody, nil},
		{"nested without end", strings.Repeat("[", 100_000), 400, respond.MalformedBody, nil},
		{"a number without end", `{"species":[1e999999]}`, 400, respond.MalformedBody, nil},
		{"null", `null`, 400, respond.MalformedBody, []string{""}},
		{"a list in place of an object", `["oscar"]`, 400, respond.MalformedBody, []string{""}},
		{"no list", `{}`, 400, respond.MalformedBody, []string{"/species"}},
		{"a name in place of the list", `{"species":"oscar"}`, 400, respond.MalformedBody, []string{"/species"}},
		{"a number in place of a name", `{"species":["oscar",7]}`, 400, respond.MalformedBody, []string{"/species/1"}},
		{"null in place of a name", `{"species":[null]}`, 400, respond.MalformedBody, []string{"/species/0"}},
		{"an unknown field", `{"species":["oscar"],"tank/1":"60x30x30cm"}`, 400, respond.MalformedBody, []string{"/tank~11"}},
		{"a field in capitals", `{"Species":["oscar"]}`, 400, respond.MalformedBody, []string{"/species", "/Species"}},
		{"an empty list", `{"species":[]}`, 422, respond.ImpossibleValue, []string{"/species"}},
		{"201 names", `{"species":[` + long + `]}`, 422, respond.ImpossibleValue, []string{"/species"}},
		{"an empty name", `{"species":["oscar",""]}`, 422, respond.ImpossibleValue, []string{"/species/1"}},
		{"an overlong name", `{"species":["` + strings.Repeat("a", 201) + `"]}`, 422, respond.ImpossibleValue, []string{"/species/0"}},
		{"a name of punctuation", `{"species":["oscar","?!"]}`, 422, respond.ImpossibleValue, []string{"/species/1"}},
		{"unknown names", `{"species":["oscarr","oscar","zzzzzz"]}`, 422, respond.UnknownSpecies, []string{"/species/0", "/species/2"}},
		{"ambiguous names", `{"species":["tetra","oscar","cichlid"]}`, 422, respond.AmbiguousSpecies, []string{"/species/0", "/species/2"}},
		{"unknown and ambiguous names", `{"species":["tetra","oscarr"]}`, 422, respond.UnknownSpecies, []string{"/species/0", "/species/1"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.T = t
			a := w.Post("/v1/pairings", c.body)
			p := apitest.ProblemIn(t, a)
			if a.Code != c.status || p.Type != "/problems/"+string(c.slug) {
				t.Fatalf("%d %s, want %d %s: %s", a.Code, p.Type, c.status, c.slug, a.Body)
			}
			var got []string
			if p.Errors != nil {
				for _, e := range *p.Errors {
					got = append(got, e.Pointer)
				}
			}
			if !apitest.SameElements(got, c.pointers) {
				t.Errorf("pointers %q, want %q", got, c.pointers)
			}
		})
	}
}

func TestBodiesOfTheWrongKindOrSizeAreRefused(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	body := `{"species":["oscar"]}`
	for name, c := range map[string]struct {
		headers []string
		status  int
	}{
		"without a type":          {[]string{"Content-Type", ""}, 415},
		"as a form":               {[]string{"Content-Type", "application/x-www-form-urlencoded"}, 415},
		"as a kind of JSON":       {[]string{"Content-Type", "application/json-patch+json"}, 415},
		"in Latin-1":              {[]string{"Content-Type", "application/json; charset=latin1"}, 415},
		"with a garbled type":     {[]string{"Content-Type", "application/json; ="}, 415},
		"compressed":              {[]string{"Content-Encoding", "gzip"}, 415},
		"in UTF-8":                {[]string{"Content-Type", "Application/JSON; charset=UTF-8"}, 200},
		"with an empty key":       {[]string{"Idempotency-Key", ""}, 400},
		"with an overlong key":    {[]string{"Idempotency-Key", strings.Repeat("k", 256)}, 400},
		"with a key of new lines": {[]string{"Idempotency-Key", "a\nb"}, 400},
	} {
		if a := w.Post("/v1/pairings", body, c.headers...); a.Code != c.status {
			t.Errorf("%s: %d, want %d: %s", name, a.Code, c.status, a.Body)
		}
	}
	large := `{"species":["` + strings.Repeat("a", validate.MaxBody) + `"]}`
	if a := w.Post("/v1/pairings", large); a.Code != 413 {
		t.Errorf("over 1 MiB: %d", a.Code)
	}
	r := apitest.NewRequest(t, "POST", "/v1/pairings", "")
	r.Header.Set("Content-Type", "application/json")
	r.Body, r.ContentLength = io.NopCloser(strings.NewReader(large)), -1
	if a := w.Send(r); a.Code != 413 {
		t.Errorf("over 1 MiB without saying so: %d", a.Code)
	}
	exact := fmt.Sprintf(`{"species":["oscar"]%s}`, strings.Repeat(" ", validate.MaxBody-len(body)))
	if a := w.Post("/v1/pairings", exact); a.Code != 200 || len(exact) != validate.MaxBody {
		t.Errorf("exactly 1 MiB: %d", a.Code)
	}
	if a := w.Post("/v1/pairings?limit=5", body); a.Code != http.StatusBadRequest {
		t.Errorf("with a query: %d", a.Code)
	}
}
