package apitest

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"

	"commensal/api"
	"commensal/api/gen"
)

const OscarNeon = "/v1/pairings/astronotus-ocellatus/paracheirodon-innesi"

func PairingOf(t testing.TB, a Answer) gen.Pairing {
	t.Helper()
	if a.Code != 200 {
		t.Fatalf("%s: status %d: %s", a.Request.URL, a.Code, a.Body)
	}
	var p gen.Pairing
	if err := json.Unmarshal(a.Body.Bytes(), &p); err != nil {
		t.Fatal(err)
	}
	return p
}

// Lookups are one target for each public lookup.
var Lookups = []string{OscarNeon, "/v1/species", "/v1/species/oscar", "/v1/species/oscar/pairings"}

// CheckOf asks for a check that has to be answered.
func CheckOf(t *testing.T, w *Witness, body string) gen.Check {
	t.Helper()
	w.T = t
	var c gen.Check
	a := w.Post("/v1/checks", body)
	if err := json.Unmarshal(a.Body.Bytes(), &c); err != nil || a.Code != 200 {
		t.Fatalf("%s: %d %v %s", body, a.Code, err, a.Body)
	}
	return c
}

func ProblemIn(t testing.TB, a Answer) gen.Problem {
	t.Helper()
	var p gen.Problem
	if err := json.Unmarshal(a.Body.Bytes(), &p); err != nil {
		t.Fatalf("%s: %v", a.Body, err)
	}
	return p
}

// MetricsOf are the metrics as they are read.
func MetricsOf(t testing.TB, s *api.Server) string {
	t.Helper()
	rec := httptest.NewRecorder()
	s.Metrics().ServeHTTP(rec, httptest.NewRequest(http.MethodGet, "/metrics", nil))
	if rec.Code != http.StatusOK {
		t.Fatalf("metrics: %d", rec.Code)
	}
	return rec.Body.String()
}

func IfMatch(tag string) []string { return []string{"If-Match", tag} }

func Fetch(t testing.TB, method, url string) (*http.Response, []byte) {
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

const KilledReport = `{"first":"oscar","second":"Neon Tetra","months":0.5,"outcome":"killed","first_count":1,"second_count":12,
	"first_length_cm":"8in","second_length_cm":3,"tank_size":"48x24x24in","observed_on":"2025-02-28"}`

func SameElements(a, b []string) bool {
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
