package api_test

import (
	"bytes"
	"encoding/json"
	"log/slog"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/middleware"
	"commensal/internal/auth"
	"commensal/internal/clientaddr"
	"commensal/internal/conflict"
	"commensal/internal/evidence"
)

// waySeen is all that can be seen of how a sequence of requests was answered.
type waySeen struct {
	statuses []int
	bodies   []string
	headers  []http.Header
	log      []map[string]any
	metrics  []string
}

// answering is set while requests are answered, when a book is asked for that cannot be had.
var answering bool

// answeredBy sends requests to a server of its own. A request without a request line, which no client can send, goes through
// the router; with one it may go on the lane.
func answeredBy(t *testing.T, lane bool, change func(*api.Config), requests []*http.Request) (seen waySeen) {
	t.Helper()
	var log bytes.Buffer
	s := apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) {
		c.Logger = slog.New(slog.NewJSONHandler(&log, nil))
		change(c)
	})
	answering = true
	for _, r := range requests {
		r = r.Clone(t.Context())
		if !lane {
			r.RequestURI = ""
		}
		rec := httptest.NewRecorder()
		s.Handler().ServeHTTP(rec, r)
		h := rec.Header().Clone()
		if h.Get("X-Request-Id") != r.Header.Get("X-Request-Id") {
			h.Del("X-Request-Id") // it was made
		}
		h.Del("Traceparent") // the span is another one each time
		body := rec.Body.String()
		if id := rec.Header().Get("X-Request-Id"); id != "" {
			body = strings.ReplaceAll(body, id, "(id)")
		}
		seen.statuses, seen.bodies, seen.headers = append(seen.statuses, rec.Code), append(seen.bodies, body), append(seen.headers, h)
	}
	answering = false
	for line := range strings.Lines(log.String()) {
		var fields map[string]any
		if err := json.Unmarshal([]byte(line), &fields); err != nil {
			t.Fatalf("%v: %s", err, line)
		}
		for _, volatile := range []string{"time", "ms", "request_id", "trace_id", "span_id", "stack"} {
			if _, there := fields[volatile]; there {
				fields[volatile] = "?"
			}
		}
		seen.log = append(seen.log, fields)
	}
	for line := range strings.Lines(apitest.MetricsOf(t, s)) {
		if strings.HasPrefix(line, "commensal_http") && !strings.Contains(line, "_sum") && !strings.Contains(line, "_bucket") {
			seen.metrics = append(seen.metrics, line)
		}
	}
	return seen
}

// requestsOf are requests for targets, each as often as is asked for it to be kept and given again, with pairs of headers.
func requestsOf(t *testing.T, targets []string, headers ...string) (all []*http.Request) {
	for _, target := range targets {
		for _, method := range []string{"GET", "GET", "GET", "HEAD"} {
			r := apitest.NewRequest(t, method, target, "")
			for i := 0; i+1 < len(headers); i += 2 {
				r.Header.Add(headers[i], headers[i+1])
			}
			all = append(all, r)
		}
	}
	return all
}

// quick are requests that the lane may take, and some that look like them.
var quick = []string{
	apitest.OscarNeon, "/v1/pairings/oscar/neon%20tetra", "/v1/pairings/Oscar/NEON-tetra", "/v1/pairings/oscar/oscar",
	apitest.OscarNeon + "?tank=120x50x50cm&temperature_c=78F&ph=7", apitest.OscarNeon + "?units=us", apitest.OscarNeon + "?", apitest.OscarNeon + "?first_count=3",
	"/v1/species/oscar", "/v1/species/Astronotus%20ocellatus",
	"/v1/pairings/oscarr/neon-tetra", "/v1/pairings/oscar/cory", "/v1/pairings/oscar/---", "/v1/pairings/oscar/" + strings.Repeat("a", 100), "/v1/pairings/oscar/" + strings.Repeat("a", 300),
	"/v1/pairings/%20/oscar", "/v1/pairings/oscar/%ff", "/v1/pairings/oscar/neon%2Dtetra", "/v1/pairings/oscar/a%2Fb", "/v1/pairings/oscar", "/v1/pairings/oscar/", "/v1/pairings//oscar", "/v1/pairings/oscar/neon-tetra/",
	"/v1/pairings/oscar/neon-tetra/reports", "/v1/pairings/oscar/snail",
	apitest.OscarNeon + "?nothing=1", apitest.OscarNeon + "?ph=15", apitest.OscarNeon + "?ph=7&ph=8", apitest.OscarNeon + "?%zz",
	"/v1/species/oscar?x=1", "/v1/species/nobody", "/v1/species/", "/v1/species/oscar/care",
}

func TestTheLaneAnswersAsTheRouterDoes(t *testing.T) {
	none := func(*api.Config) {}
	for _, c := range []struct {
		name     string
		change   func(*api.Config)
		requests []*http.Request
	}{
		{"plainly", none, requestsOf(t, quick)},
		{"with an identity", none, requestsOf(t, quick[:9], "X-Request-Id", "mine", "Traceparent", "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01")},
		{"with an identity that is none", none, requestsOf(t, quick[:9], "X-Request-Id", "<b>", "Traceparent", "00-x")},
		{"where anything will do", none, requestsOf(t, quick, "If-None-Match", "*")},
		{"where nothing will do", none, requestsOf(t, quick, "If-None-Match", `"x"`)},
		{"in two fields", none, requestsOf(t, quick[:9], "If-None-Match", `"x"`, "If-None-Match", "*")},
		{"with an origin and a type", none, requestsOf(t, quick[:9], "Origin", "https://forum.example", "Accept", "text/plain")},
		{"with a key that is none", none, requestsOf(t, quick[:9], "Authorization", "Bearer nothing")},
		{"from an older catalogue", func(c *api.Config) { c.Stale = func() bool { return true } }, requestsOf(t, quick)},
		{"without a catalogue", func(c *api.Config) { c.Book = func() *conflict.Book { return nil } }, requestsOf(t, quick[:9])},
		{"with a fault inside", func(c *api.Config) {
			c.Book = func() *conflict.Book {
				if answering {
					panic("secret")
				}
				return nil
			}
		}, requestsOf(t, quick[:4])},
		{"with little of the address", func(c *api.Config) { c.LogAddresses = clientaddr.Truncated }, requestsOf(t, quick[:9])},
		{"without the address", func(c *api.Config) { c.LogAddresses = clientaddr.Off }, requestsOf(t, quick[:9])},
		{"without a cache", func(c *api.Config) { c.CacheBytes = -1 }, requestsOf(t, quick)},
		{"within a limit", func(c *api.Config) {
			c.Now = fixture.NewClock().Now
			c.RateLimit = middleware.RateLimit{Quota: 10, Window: time.Minute}
		}, requestsOf(t, quick[:9])},
		{"behind a proxy", func(c *api.Config) {
			c.Now = fixture.NewClock().Now
			c.RateLimit = middleware.RateLimit{Quota: 5, Window: time.Minute}
			c.TrustedProxies = []netip.Prefix{netip.MustParsePrefix("192.0.2.0/24")}
		}, slices.Concat(requestsOf(t, quick[:2], "X-Forwarded-For", "198.51.100.1"), requestsOf(t, quick[:2], "X-Forwarded-For", "198.51.100.1, 203.0.113.9"))},
		{"from this machine", func(c *api.Config) {
			c.Now = fixture.NewClock().Now
			c.ExemptLocal = true
			c.RateLimit = middleware.RateLimit{Quota: 2, Window: time.Minute}
		}, slices.Concat(local(requestsOf(t, quick[:2])), local(requestsOf(t, quick[:2], "Via", "1.1 x")))},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, want := answeredBy(t, true, c.change, c.requests), answeredBy(t, false, c.change, c.requests)
			for i, r := range c.requests {
				name := r.Method + " " + r.RequestURI
				if got.statuses[i] != want.statuses[i] || got.bodies[i] != want.bodies[i] {
					t.Errorf("%s: %d %s\nwant %d %s", name, got.statuses[i], apitest.Clipped(got.bodies[i]), want.statuses[i], apitest.Clipped(want.bodies[i]))
				}
				if !maps.EqualFunc(got.headers[i], want.headers[i], slices.Equal[[]string]) {
					t.Errorf("%s:\ngot  %v\nwant %v", name, got.headers[i], want.headers[i])
				}
			}
			if !reflect.DeepEqual(got.log, want.log) {
				t.Errorf("the log is another one:\n%v\nwant\n%v", got.log, want.log)
			}
			if !slices.Equal(got.metrics, want.metrics) {
				t.Errorf("the metrics are others:\n%v\nwant\n%v", got.metrics, want.metrics)
			}
		})
	}
}

// local lets requests come from this machine.
func local(requests []*http.Request) []*http.Request {
	for _, r := range requests {
		r.RemoteAddr = "127.0.0.1:4711"
	}
	return requests
}

// What is kept counts for the key as everything does, and for its address while the key is not known.
func TestKeptAnswersCountForTheKey(t *testing.T) {
	h := apitest.NewService(t)
	key := h.Key("here", auth.TanksRead)
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) {
		c.Store, c.Verifier, c.Now = h.Store, auth.NewVerifier(h.Store, h.Clock.Now), h.Clock.Now
		c.RateLimit, c.KeyRateLimit = middleware.RateLimit{Quota: 5, Window: time.Hour}, middleware.RateLimit{Quota: 4, Window: time.Hour}
	}))
	for range 3 {
		w.Get(apitest.OscarNeon) // for the address, which then has two left
	}
	w.Get("/v1/tanks", key...) // makes the key known
	for left := 3; left >= 0; left-- {
		a := w.Get(apitest.OscarNeon, key...)
		if want := `"default";r=` + string(rune('0'+left)) + ";"; a.Code != http.StatusOK || !strings.HasPrefix(a.Header().Get("RateLimit"), want) {
			t.Errorf("%d, RateLimit %q, want %s", a.Code, a.Header().Get("RateLimit"), want)
		}
	}
	if a := w.Get(apitest.OscarNeon, key...); a.Code != http.StatusTooManyRequests || !strings.Contains(a.Body.String(), "with this key") {
		t.Errorf("%d %s", a.Code, a.Body)
	}
	if a := w.Get(apitest.OscarNeon); a.Code != http.StatusOK {
		t.Errorf("the address is charged for the key: %d", a.Code)
	}
	if a := w.Get(apitest.OscarNeon); a.Code != http.StatusTooManyRequests || !strings.Contains(a.Body.String(), "from this address") {
		t.Errorf("%d %s", a.Code, a.Body)
	}
}

// A report that is filed, or a new catalogue, is in the next answer.
func TestKeptAnswersAreForgottenWithTheReports(t *testing.T) {
	book := fixture.Few(t)
	tallies := evidence.NewTallies(nil)
	w := apitest.Ask(t, apitest.ServerOf(t, book, func(c *api.Config) { c.Reports = func() *evidence.Tallies { return tallies } }))
	var before apitest.Answer
	for range 4 {
		before = w.Get(apitest.OscarNeon)
	}
	if apitest.PairingOf(t, before).Reports != nil {
		t.Fatal("there are reports")
	}
	var tally evidence.Tally
	tally.Add(evidence.Share{Counts: [evidence.NumOutcomes]int{3}})
	tallies = evidence.NewTallies(map[evidence.Pair]evidence.Tally{evidence.PairOf("astronotus-ocellatus", "paracheirodon-innesi"): tally})
	after := w.Get(apitest.OscarNeon)
	if apitest.PairingOf(t, after).Reports == nil || after.Header().Get("ETag") == before.Header().Get("ETag") {
		t.Errorf("the answer is still without reports: %s", after.Header().Get("ETag"))
	}
	if a := w.Get(apitest.OscarNeon, "If-None-Match", before.Header().Get("ETag")); a.Code != http.StatusOK {
		t.Errorf("the old answer is good still: %d", a.Code)
	}
}

// What a kept answer costs does not grow unseen: an allocation is what most of it is spent on.
func TestAKeptAnswerAllocatesLittle(t *testing.T) {
	s := apitest.ServerOf(t, fixture.Few(t))
	for name, c := range map[string]struct {
		target, tag string
		most        float64
	}{"kept": {apitest.OscarNeon, "", 20}, "with a query": {apitest.OscarNeon + "?ph=7", "", 20}, "species": {"/v1/species/oscar", "", 20}, "not modified": {apitest.OscarNeon, "*", 20}} {
		r := apitest.NewRequest(t, "GET", c.target, "")
		if c.tag != "" {
			r.Header.Set("If-None-Match", c.tag)
		}
		w := nothing{}
		ask := func() { clear(w); s.Handler().ServeHTTP(w, r) }
		for range 3 {
			ask()
		}
		if n := testing.AllocsPerRun(100, ask); n > c.most {
			t.Errorf("%s: %v allocations", name, n)
		}
	}
}

// The same for one that is worked out.
func TestAComputedAnswerAllocatesLittle(t *testing.T) {
	s := apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) { c.CacheBytes = -1 })
	for target, most := range map[string]float64{apitest.OscarNeon: 80, apitest.OscarNeon + "?tank=120x50x50cm&ph=7&temperature_c=24.5": 138} {
		r, w := apitest.NewRequest(t, "GET", target, ""), nothing{}
		if n := testing.AllocsPerRun(100, func() { clear(w); s.Handler().ServeHTTP(w, r) }); n > most {
			t.Errorf("%s: %v allocations", target, n)
		}
	}
}

// nothing is a response that goes nowhere.
type nothing http.Header

func (n nothing) Header() http.Header         { return http.Header(n) }
func (n nothing) WriteHeader(int)             {}
func (n nothing) Write(b []byte) (int, error) { return len(b), nil }

// BenchmarkLane is what a lookup costs on the lane and on the router's way, without a network.
func BenchmarkLane(b *testing.B) {
	for _, c := range []struct{ name, target, tag string }{
		{"kept", apitest.OscarNeon, ""}, {"kept with a query", apitest.OscarNeon + "?ph=7", ""}, {"species", "/v1/species/oscar", ""}, {"not modified", apitest.OscarNeon, "*"},
	} {
		for _, way := range []string{"lane", "router"} {
			b.Run(c.name+"/"+way, func(b *testing.B) {
				s := apitest.ServerOf(b, fixture.Few(b), func(c *api.Config) { c.RateLimit = middleware.RateLimit{Quota: 1 << 30} })
				r := apitest.NewRequest(b, "GET", c.target, "")
				if c.tag != "" {
					r.Header.Set("If-None-Match", c.tag)
				}
				if way == "router" {
					r.RequestURI = ""
				}
				w := nothing{}
				b.ReportAllocs()
				for b.Loop() {
					clear(w)
					s.Handler().ServeHTTP(w, r)
				}
			})
		}
	}
}
