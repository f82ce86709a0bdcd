package api

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"

	"commensal/api/gen"
)

func TestMatrixScoresEveryPairAndEachOwnKind(t *testing.T) {
	w := ask(t, serverOf(t, few(t)))
	a := w.post("/v1/pairings", `{"species":["Oscar","paracheirodon-innesi","Betta","oscar"]}`, "Idempotency-Key", "abc")
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
			if p := pairingOf(t, w.get(target)); p.Score != m.Scores[i][j] {
				t.Errorf("%s: matrix %v, pairing %v", target, m.Scores[i][j], p.Score)
			}
		}
	}
}

func TestMatrixOf200(t *testing.T) {
	book := full(t)
	names := make([]string, 200)
	for i := range names {
		names[i] = string(book.Snapshot.At(i % book.Snapshot.Len()).ID)
	}
	body, err := json.Marshal(map[string]any{"species": names})
	if err != nil {
		t.Fatal(err)
	}
	a := ask(t, serverOf(t, book)).post("/v1/pairings", string(body))
	var m gen.PairingMatrix
	if err := json.Unmarshal(a.Body.Bytes(), &m); err != nil || a.Code != 200 || len(m.Scores) != 200 || len(m.Scores[199]) != 200 {
		t.Fatalf("%d %v", a.Code, err)
	}
}

func TestBadMatrixBodiesAreRefused(t *testing.T) {
	w := ask(t, serverOf(t, few(t)))
	long := strings.Repeat(`"oscar",`, 200) + `"oscar"`
	for _, c := range []struct {
		name, body string
		status     int
		slug       slug
		pointers   []string
	}{
		{"no body", "", 400, malformedBody, nil},
		{"half a body", `{"species":["oscar"`, 400, malformedBody, nil},
		{"not JSON", `species=oscar`, 400, malformedBody, nil},
		{"two bodies", `{"species":["oscar"]}{"species":["oscar"]}`, 400, malformedBody, nil},
		{"something behind the body", `{"species":["oscar"]} x`, 400, malformedBody, nil},
		{"broken UTF-8", "{\"species\":[\"\xff\"]}", 400, malformedBody, nil},
		{"a NUL in a name", `{"species":["os\u0000car"]}`, 400, malformedBody, nil},
		{"a field twice", `{"species":["oscar"],"species":["betta"]}`, 400, malformedBody, nil},
		{"nested without end", strings.Repeat("[", 100_000), 400, malformedBody, nil},
		{"a number without end", `{"species":[1e999999]}`, 400, malformedBody, nil},
		{"null", `null`, 400, malformedBody, []string{""}},
		{"a list in place of an object", `["oscar"]`, 400, malformedBody, []string{""}},
		{"no list", `{}`, 400, malformedBody, []string{"/species"}},
		{"a name in place of the list", `{"species":"oscar"}`, 400, malformedBody, []string{"/species"}},
		{"a number in place of a name", `{"species":["oscar",7]}`, 400, malformedBody, []string{"/species/1"}},
		{"null in place of a name", `{"species":[null]}`, 400, malformedBody, []string{"/species/0"}},
		{"an unknown field", `{"species":["oscar"],"tank/1":"60x30x30cm"}`, 400, malformedBody, []string{"/tank~11"}},
		{"a field in capitals", `{"Species":["oscar"]}`, 400, malformedBody, []string{"/species", "/Species"}},
		{"an empty list", `{"species":[]}`, 422, impossibleValue, []string{"/species"}},
		{"201 names", `{"species":[` + long + `]}`, 422, impossibleValue, []string{"/species"}},
		{"an empty name", `{"species":["oscar",""]}`, 422, impossibleValue, []string{"/species/1"}},
		{"an overlong name", `{"species":["` + strings.Repeat("a", 201) + `"]}`, 422, impossibleValue, []string{"/species/0"}},
		{"a name of punctuation", `{"species":["oscar","?!"]}`, 422, impossibleValue, []string{"/species/1"}},
		{"unknown names", `{"species":["oscarr","oscar","zzzzzz"]}`, 422, unknownSpecies, []string{"/species/0", "/species/2"}},
		{"ambiguous names", `{"species":["tetra","oscar","cichlid"]}`, 422, ambiguousSpecies, []string{"/species/0", "/species/2"}},
		{"unknown and ambiguous names", `{"species":["tetra","oscarr"]}`, 422, unknownSpecies, []string{"/species/0", "/species/1"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.t = t
			a := w.post("/v1/pairings", c.body)
			p := problemIn(t, a)
			if a.Code != c.status || p.Type != "/problems/"+string(c.slug) {
				t.Fatalf("%d %s, want %d %s: %s", a.Code, p.Type, c.status, c.slug, a.Body)
			}
			var got []string
			if p.Errors != nil {
				for _, e := range *p.Errors {
					got = append(got, e.Pointer)
				}
			}
			if !sameElements(got, c.pointers) {
				t.Errorf("pointers %q, want %q", got, c.pointers)
			}
		})
	}
}

func sameElements(a, b []string) bool {
	count := map[string]int{}
	for _, x := range a {
		count[x]++
	}
	for _, x := range b {
		count[x]--
	}
	for _, n := range count {
		if n != 0 {
			return false
		}
	}
	return true
}

func TestBodiesOfTheWrongKindOrSizeAreRefused(t *testing.T) {
	w := ask(t, serverOf(t, few(t)))
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
		if a := w.post("/v1/pairings", body, c.headers...); a.Code != c.status {
			t.Errorf("%s: %d, want %d: %s", name, a.Code, c.status, a.Body)
		}
	}
	large := `{"species":["` + strings.Repeat("a", maxBody) + `"]}`
	if a := w.post("/v1/pairings", large); a.Code != 413 {
		t.Errorf("over 1 MiB: %d", a.Code)
	}
	r := newRequest(t, "POST", "/v1/pairings", "")
	r.Header.Set("Content-Type", "application/json")
	r.Body, r.ContentLength = io.NopCloser(strings.NewReader(large)), -1
	if a := w.send(r); a.Code != 413 {
		t.Errorf("over 1 MiB without saying so: %d", a.Code)
	}
	exact := fmt.Sprintf(`{"species":["oscar"]%s}`, strings.Repeat(" ", maxBody-len(body)))
	if a := w.post("/v1/pairings", exact); a.Code != 200 || len(exact) != maxBody {
		t.Errorf("exactly 1 MiB: %d", a.Code)
	}
	if a := w.post("/v1/pairings?limit=5", body); a.Code != http.StatusBadRequest {
		t.Errorf("with a query: %d", a.Code)
	}
}

// FuzzBody holds that no body is a fault, and that what is accepted is what
// encoding/json reads as well.
func FuzzBody(f *testing.F) {
	for _, seed := range []string{`{"species":["oscar"]}`, `{"species":[1e400]}`, `[`, `{"a":{"a":1,"a":2}}`, `"\ud800"`, "\xef\xbb\xbf{}"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, body string) {
		value, err := decodeStrictly([]byte(body))
		var plain any
		if err == nil && json.Unmarshal([]byte(body), &plain) != nil {
			t.Errorf("%q was read as %v, and is not JSON", body, value)
		}
		if err == nil && fmt.Sprint(value) != fmt.Sprint(plain) {
			t.Errorf("%q was read as %v, not %v", body, value, plain)
		}
	})
}
