package api

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"commensal/api/gen"
)

func problemIn(t testing.TB, a answer) gen.Problem {
	t.Helper()
	var p gen.Problem
	if err := json.Unmarshal(a.Body.Bytes(), &p); err != nil {
		t.Fatalf("%s: %v", a.Body, err)
	}
	return p
}

// badQuery is a query that is refused, with the problem and where it points.
type badQuery struct {
	name, query string
	status      int
	slug        slug
	pointer     string
}

func checkBadQueries(t *testing.T, path string, table []badQuery) {
	t.Helper()
	w := ask(t, serverOf(t, few(t)))
	for _, c := range table {
		t.Run(c.name, func(t *testing.T) {
			w.t = t
			a := w.get(path + "?" + c.query)
			p := problemIn(t, a)
			if a.Code != c.status || p.Type != "/problems/"+string(c.slug) {
				t.Fatalf("status %d, type %s; want %d, %s: %s", a.Code, p.Type, c.status, c.slug, a.Body)
			}
			if c.pointer == "" {
				return
			}
			if p.Errors == nil || (*p.Errors)[0].Pointer != c.pointer {
				t.Fatalf("want an error at %s: %s", c.pointer, a.Body)
			}
			if e := (*p.Errors)[0]; e.Fix == nil || *e.Fix == "" || e.Detail == "" {
				t.Errorf("no fix or detail: %s", a.Body)
			}
		})
	}
}

func TestBadPairingQueriesAreRefused(t *testing.T) {
	const bad, not = http.StatusBadRequest, http.StatusUnprocessableEntity
	checkBadQueries(t, oscarNeon, []badQuery{
		{"a tank without a unit", "tank=120x50x50", bad, malformedParameter, "/query/tank"},
		{"a tank of two sides", "tank=120x50cm", bad, malformedParameter, "/query/tank"},
		{"a tank of words", "tank=big", bad, malformedParameter, "/query/tank"},
		{"a tank of nothing", "tank=", bad, malformedParameter, "/query/tank"},
		{"a tank text over 64 characters", "tank=" + strings.Repeat("1", 70) + "cm", bad, malformedParameter, "/query/tank"},
		{"a tank a kilometre long", "tank=1000x1x1m", not, impossibleValue, "/query/tank"},
		{"a tank beyond a kilometre", "tank=9000x9000x9000m", not, impossibleValue, "/query/tank"},
		{"a tank of no height", "tank=120x50x0cm", not, impossibleValue, "/query/tank"},
		{"a tank of negative length", "tank=-120x50x50cm", not, impossibleValue, "/query/tank"},
		{"a tank of negative nonsense", "tank=-abc", bad, malformedParameter, "/query/tank"},
		{"a tank of 4 cm", "tank=4x50x50cm", not, impossibleValue, "/query/tank"},
		{"two tanks", "tank=120x50x50cm&tank=60x30x30cm", bad, malformedParameter, "/query/tank"},
		{"a temperature in words", "temperature_c=warm", bad, malformedParameter, "/query/temperature_c"},
		{"a temperature with a comma", "temperature_c=25,5", bad, malformedParameter, "/query/temperature_c"},
		{"a temperature with an exponent", "temperature_c=2e1", bad, malformedParameter, "/query/temperature_c"},
		{"a temperature of NaN", "temperature_c=NaN", bad, malformedParameter, "/query/temperature_c"},
		{"a temperature in metres", "temperature_c=25m", bad, malformedParameter, "/query/temperature_c"},
		{"a temperature of 200 °C", "temperature_c=200", not, impossibleValue, "/query/temperature_c"},
		{"a temperature of 46 °C", "temperature_c=46", not, impossibleValue, "/query/temperature_c"},
		{"a temperature below freezing", "temperature_c=-4", not, impossibleValue, "/query/temperature_c"},
		{"a temperature with a plus", "temperature_c=%2B25", bad, malformedParameter, "/query/temperature_c"},
		{"a pH of 15", "ph=15", not, impossibleValue, "/query/ph"},
		{"a pH of 2.9", "ph=2.9", not, impossibleValue, "/query/ph"},
		{"a negative pH", "ph=-7", not, impossibleValue, "/query/ph"},
		{"a pH with a unit", "ph=7pH", bad, malformedParameter, "/query/ph"},
		{"a hardness of 200", "gh_dh=200", not, impossibleValue, "/query/gh_dh"},
		{"a hardness in °F", "gh_dh=10F", bad, malformedParameter, "/query/gh_dh"},
		{"a salinity of 50", "salinity_ppt=50", not, impossibleValue, "/query/salinity_ppt"},
		{"a salinity in words", "salinity_ppt=sea", bad, malformedParameter, "/query/salinity_ppt"},
		{"a cover above 1", "cover=1.01", not, impossibleValue, "/query/cover"},
		{"a negative cover", "cover=-0.1", not, impossibleValue, "/query/cover"},
		{"a cover in words", "cover=dense", bad, malformedParameter, "/query/cover"},
		{"an infinite cover", "cover=Infinity", bad, malformedParameter, "/query/cover"},
		{"a hexadecimal cover", "cover=0x1p-2", bad, malformedParameter, "/query/cover"},
		{"a cover with an exponent", "cover=1e-1", bad, malformedParameter, "/query/cover"},
		{"no fish", "first_count=0", not, impossibleValue, "/query/first_count"},
		{"minus two fish", "second_count=-2", not, impossibleValue, "/query/second_count"},
		{"1,001 fish", "first_count=1001", not, impossibleValue, "/query/first_count"},
		{"more fish than a number holds", "first_count=99999999999999999999", not, impossibleValue, "/query/first_count"},
		{"half a fish", "first_count=2.5", bad, malformedParameter, "/query/first_count"},
		{"a third sex", "first_sex=both", bad, malformedParameter, "/query/first_sex"},
		{"a sex in capitals", "second_sex=Male", bad, malformedParameter, "/query/second_sex"},
		{"a fish of six metres", "first_length_cm=6m", not, impossibleValue, "/query/first_length_cm"},
		{"a fish of no length", "second_length_cm=0", not, impossibleValue, "/query/second_length_cm"},
		{"a fish length in litres", "second_length_cm=4l", bad, malformedParameter, "/query/second_length_cm"},
		{"units of nowhere", "units=metric", bad, malformedParameter, "/query/units"},
		{"an unknown parameter", "temprature_c=25", bad, unknownParameter, "/query/temprature_c"},
		{"a parameter in capitals", "TANK=120x50x50cm", bad, unknownParameter, "/query/TANK"},
		{"a parameter like no other", "colour=blue", bad, unknownParameter, "/query/colour"},
		{"a parameter without a name", "=5", bad, unknownParameter, "/query/"},
		{"a broken percent sign", "tank=%zz", bad, malformedParameter, ""},
		{"a semicolon", "cover=1;ph=7", bad, malformedParameter, ""},
		{"broken UTF-8", "tank=%ff%fe", bad, malformedParameter, "/query/tank"},
		{"a NUL", "tank=120x50x50cm%00", bad, malformedParameter, "/query/tank"},
		{"a NUL in a parameter's name", "ta%00nk=1", bad, unknownParameter, "/query/ta\uFFFDnk"},
		{"a new line", "ph=7%0a", bad, malformedParameter, "/query/ph"},
	})
}

func TestBadSpeciesListQueriesAreRefused(t *testing.T) {
	const bad, not = http.StatusBadRequest, http.StatusUnprocessableEntity
	checkBadQueries(t, "/v1/species", []badQuery{
		{"an empty search", "q=", bad, malformedParameter, "/query/q"},
		{"a search over 200 characters", "q=" + strings.Repeat("a", 201), bad, malformedParameter, "/query/q"},
		{"an empty family", "family=", bad, malformedParameter, "/query/family"},
		{"a zone that is none", "zone=top", bad, malformedParameter, "/query/zone"},
		{"a temperament that is none", "temperament=nice", bad, malformedParameter, "/query/temperament"},
		{"a temperature of 200 °C", "temperature_c=200C", not, impossibleValue, "/query/temperature_c"},
		{"a pH of 15", "ph=15", not, impossibleValue, "/query/ph"},
		{"a length of nothing", "max_length_cm=0", not, impossibleValue, "/query/max_length_cm"},
		{"a length without a number", "max_length_cm=in", bad, malformedParameter, "/query/max_length_cm"},
		{"no entries on a page", "limit=0", not, impossibleValue, "/query/limit"},
		{"201 entries on a page", "limit=201", not, impossibleValue, "/query/limit"},
		{"a limit in words", "limit=all", bad, malformedParameter, "/query/limit"},
		{"a limit twice", "limit=1&limit=2", bad, malformedParameter, "/query/limit"},
		{"a cursor of garbage", "cursor=xyz", bad, invalidCursor, "/query/cursor"},
		{"a cursor that is not base64", "cursor=%21%21", bad, invalidCursor, "/query/cursor"},
		{"a cursor without end", "cursor=" + strings.Repeat("A", 513), bad, malformedParameter, "/query/cursor"},
		{"a misspelt parameter", "familly=Cichlidae", bad, unknownParameter, "/query/familly"},
	})
}

func TestAllThatIsWrongIsToldAtOnce(t *testing.T) {
	p := problemIn(t, ask(t, serverOf(t, few(t))).get(oscarNeon+"?ph=15&temperature_c=200&gh_dh=x"))
	if p.Errors == nil || len(*p.Errors) != 3 || p.Status != http.StatusBadRequest {
		t.Errorf("%+v", p)
	}
	p = problemIn(t, ask(t, serverOf(t, few(t))).get(oscarNeon+"?first_sex=x&cover=2&bogus=1"))
	if p.Errors == nil || len(*p.Errors) != 3 {
		t.Errorf("%+v", p)
	}
}

func TestAMisspeltParameterIsAnsweredWithTheNearestOne(t *testing.T) {
	p := problemIn(t, ask(t, serverOf(t, few(t))).get(oscarNeon+"?temprature_c=25"))
	if e := (*p.Errors)[0]; *e.Fix != "did you mean temperature_c?" || !strings.Contains(e.Detail, "temprature_c") {
		t.Errorf("%+v", e)
	}
	p = problemIn(t, ask(t, serverOf(t, few(t))).get("/v1/species/oscar?lang=de"))
	if e := (*p.Errors)[0]; *e.Fix != "this path takes no query parameters" {
		t.Errorf("%+v", e)
	}
}

func TestNamesInThePath(t *testing.T) {
	w := ask(t, serverOf(t, few(t)))
	for _, c := range []struct {
		name, first string
		status      int
		slug        slug
		candidate   string // the first, "" for none
	}{
		{"an unknown name has near matches", "oscarr", 404, unknownSpecies, "astronotus-ocellatus"},
		{"a name like no other has none", "qqqqqqqqqq", 404, unknownSpecies, ""},
		{"a trade word lists what it may mean", "tetra", 422, ambiguousSpecies, "paracheirodon-innesi"},
		{"a genus lists its species", "Paracheirodon", 422, ambiguousSpecies, "paracheirodon-axelrodi"},
		{"broken UTF-8 is no name", "%ff%fe", 400, malformedParameter, ""},
		{"a NUL is no name", "oscar%00", 400, malformedParameter, ""},
		{"a tab is no name", "a%09b", 400, malformedParameter, ""},
		{"spaces are no name", "%20%20", 400, malformedParameter, ""},
		{"punctuation is no name", "---", 400, malformedParameter, ""},
		{"201 letters are no name", strings.Repeat("a", 201), 400, malformedParameter, ""},
		{"70 wide characters are no name", strings.Repeat("%E9%B1%BC", 70), 400, malformedParameter, ""},
		{"an escaped percent sign is looked up", "100%25", 404, unknownSpecies, ""},
		{"an escaped escape is not undone twice", "%2500", 404, unknownSpecies, ""},
		{"an escaped slash does not part the path", "os%2Fcar", 404, unknownSpecies, "astronotus-ocellatus"},
		{"dots are no name", "%2e%2e", 400, malformedParameter, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.t = t
			for _, target := range []string{"/v1/species/" + c.first, "/v1/species/" + c.first + "/pairings", "/v1/pairings/" + c.first + "/oscar"} {
				a := w.get(target)
				p := problemIn(t, a)
				if a.Code != c.status || p.Type != "/problems/"+string(c.slug) {
					t.Fatalf("%s: %d %s, want %d %s: %s", target, a.Code, p.Type, c.status, c.slug, a.Body)
				}
				if c.candidate == "" {
					continue
				}
				if e := (*p.Errors)[0]; e.Candidates == nil || (*e.Candidates)[0].Id != c.candidate {
					t.Errorf("%s: candidates %s", target, a.Body)
				}
			}
		})
	}
}

func TestBothBadNamesAreTold(t *testing.T) {
	w := ask(t, serverOf(t, few(t)))
	a := w.get("/v1/pairings/oscarr/tetra")
	p := problemIn(t, a)
	if a.Code != 404 || len(*p.Errors) != 2 || (*p.Errors)[1].Pointer != "/path/second" {
		t.Errorf("%d %s", a.Code, a.Body)
	}
}

func TestPathsThatDoNotExist(t *testing.T) {
	w := ask(t, serverOf(t, few(t)))
	for _, target := range []string{"/v2/species", "/v1", "/v1/", "/v1/species/", "/v1/pairings/oscar", "/v1/pairings/oscar/",
		"/v1/pairings//oscar", "/v1/pairings/a/b/c", "/favicon.ico", "/%00", "/%ff", "/problems/", "//", "/..", "/docs/", "/v1/species//pairings"} {
		if a := w.get(target); a.Code != 404 {
			t.Errorf("%s: %d %s", target, a.Code, a.Body)
		} else if p := problemIn(t, a); p.Type != "/problems/not-found" {
			t.Errorf("%s: %s", target, p.Type)
		}
	}
	if a := w.get("/problems/no-such"); a.Code != 404 {
		t.Errorf("an unknown problem type: %d", a.Code)
	}
}

func TestMethodsThatDoNotExistNameThoseThatDo(t *testing.T) {
	w := ask(t, serverOf(t, few(t)))
	for target, allow := range map[string]string{
		oscarNeon:      "OPTIONS, GET, HEAD",
		"/v1/pairings": "OPTIONS, POST",
		"/livez":       "OPTIONS, GET, HEAD",
		"/":            "OPTIONS, GET, HEAD",
	} {
		for _, method := range []string{"PUT", "DELETE", "PATCH", "BREW"} {
			a := w.do(method, target, "")
			if a.Code != 405 || a.Header().Get("Allow") != allow {
				t.Errorf("%s %s: %d, Allow %q", method, target, a.Code, a.Header().Get("Allow"))
			}
		}
	}
	if a := w.get("/v1/pairings"); a.Code != 405 {
		t.Errorf("GET of the matrix: %d", a.Code)
	}
}

// FuzzQuery holds that no query string is a fault of the service.
func FuzzQuery(f *testing.F) {
	for _, seed := range []string{"tank=120x50x50cm&ph=7", "ph=%31&ph=2", "%", "a=b;c", "cover=1e999", "limit=-0", "first_count=00", "tank=\xff"} {
		f.Add(seed)
	}
	s := serverOf(f, few(f))
	f.Fuzz(func(t *testing.T, query string) {
		for _, path := range []string{oscarNeon, "/v1/species", "/v1/species/oscar/pairings"} {
			r := newRequest(t, "GET", path, "")
			r.URL.RawQuery = query
			if a := ask(t, s).send(r); a.Code >= 500 {
				t.Errorf("%s?%s: %d", path, query, a.Code)
			}
		}
	})
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
	s := serverOf(f, few(f))
	f.Fuzz(func(t *testing.T, method, path, query, body string) {
		u, err := url.ParseRequestURI(path)
		if err != nil || !strings.HasPrefix(path, "/") {
			t.Skip("not a request target")
		}
		r := newRequest(t, "GET", "/", body)
		r.Method, r.URL = method, u
		r.URL.RawQuery = query
		r.Header.Set("Content-Type", "application/json")
		if a := ask(t, s).send(r); a.Code >= 500 {
			t.Errorf("%s %s?%s: %d", method, path, query, a.Code)
		}
	})
}
