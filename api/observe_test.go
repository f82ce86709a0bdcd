package api_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http/httptest"
	"net/netip"
	"os"
	"slices"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/internal/clientaddr"
	"commensal/internal/conflict"
)

func TestIdentityIsContinuedOrMade(t *testing.T) {
	const trace, parent = "0af7651916cd43dd8448eb211c80319c", "b7ad6b7169203331"
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	a := w.Get("/livez", "traceparent", "00-"+trace+"-"+parent+"-01", "X-Request-Id", "my~request.1")
	got := a.Header().Get("traceparent")
	if !strings.HasPrefix(got, "00-"+trace+"-") || !strings.HasSuffix(got, "-01") || strings.Contains(got, parent) || a.Header().Get("X-Request-Id") != "my~request.1" {
		t.Errorf("%q %q", got, a.Header().Get("X-Request-Id"))
	}
	for _, bad := range []string{"", "00", "00-" + trace + "-" + parent, "ff-" + trace + "-" + parent + "-01", "00-" + trace + "-" + parent + "-01-x",
		"00-" + strings.ToUpper(trace) + "-" + parent + "-01", "00-" + strings.Repeat("0", 32) + "-" + parent + "-01", "00-" + trace + "-" + strings.Repeat("0", 16) + "-01"} {
		if a := w.Get("/livez", "traceparent", bad); strings.Contains(a.Header().Get("traceparent"), trace) {
			t.Errorf("%q was continued", bad)
		}
	}
	if a := w.Get("/livez", "traceparent", "cc-"+trace+"-"+parent+"-ff-later"); !strings.HasPrefix(a.Header().Get("traceparent"), "00-"+trace) || !strings.HasSuffix(a.Header().Get("traceparent"), "-01") {
		t.Errorf("a later version: %q", a.Header().Get("traceparent"))
	}
	for _, bad := range []string{"a b", "a\"b", strings.Repeat("a", 129), "<script>"} {
		if a := w.Get("/livez", "X-Request-Id", bad); a.Header().Get("X-Request-Id") == bad {
			t.Errorf("the request id %q was taken over", bad)
		}
	}
}

func TestTheAccessLogLine(t *testing.T) {
	var out bytes.Buffer
	s := apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) { c.Logger = slog.New(slog.NewJSONHandler(&out, nil)) })
	apitest.Ask(t, s).Get(apitest.OscarNeon+"?ph=15", "X-Request-Id", "r1", "traceparent", "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01")
	line := loggedLine(t, &out)
	for key, want := range map[string]any{"level": "INFO", "msg": "request", "method": "GET", "route": "/v1/pairings/:first/:second", "path": apitest.OscarNeon,
		"status": 422.0, "request_id": "r1", "trace_id": "0af7651916cd43dd8448eb211c80319c"} {
		if line[key] != want {
			t.Errorf("%s is %v, want %v", key, line[key], want)
		}
	}
	if line["bytes"].(float64) <= 0 || len(line["span_id"].(string)) != 16 {
		t.Errorf("%v", line)
	}
}

// areDescribed looks that an operator is told what each field of a line means.
func areDescribed(t *testing.T, line map[string]any) {
	t.Helper()
	page, err := os.ReadFile("../deploy/README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, log, _ := strings.Cut(string(page), "\n## The log\n")
	log, _, _ = strings.Cut(log, "\n## ")
	for field := range line {
		if !slices.Contains([]string{"time", "level", "msg"}, field) && !strings.Contains(log, "`"+field+"`") {
			t.Errorf("deploy/README.md does not tell of the field %s", field)
		}
	}
}

// loggedLine is the one line of a log.
func loggedLine(t *testing.T, log *bytes.Buffer) (line map[string]any) {
	t.Helper()
	if err := json.Unmarshal(log.Bytes(), &line); err != nil {
		t.Fatalf("%v: %s", err, log)
	}
	return line
}

func TestTheAccessLogShowsAsMuchOfAnAddressAsIsSet(t *testing.T) {
	for _, c := range []struct {
		shown         clientaddr.Shown
		remote, proxy string
		client        any
	}{
		{clientaddr.Full, "192.0.2.17:4711", "", "192.0.2.17"},
		{clientaddr.Truncated, "192.0.2.17:4711", "", "192.0.2.0"},
		{clientaddr.Off, "192.0.2.17:4711", "", nil},
		{clientaddr.Full, "[2001:db8:1:2::3]:4711", "", "2001:db8:1:2::3"},
		{clientaddr.Truncated, "[2001:db8:1:2::3]:4711", "", "2001:db8:1::"},
		{clientaddr.Full, "192.0.2.17:4711", "203.0.113.9", "192.0.2.17"}, // which nobody vouches for
		{clientaddr.Truncated, "10.0.0.1:4711", "203.0.113.9", "203.0.113.0"},
		{clientaddr.Off, "10.0.0.1:4711", "203.0.113.9", nil},
	} {
		var out bytes.Buffer
		s := apitest.ServerOf(t, fixture.Few(t), func(cfg *api.Config) {
			cfg.Logger, cfg.LogAddresses = slog.New(slog.NewJSONHandler(&out, nil)), c.shown
			cfg.TrustedProxies = []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8")}
		})
		r := apitest.NewRequest(t, "GET", apitest.OscarNeon, "")
		r.RemoteAddr = c.remote
		if c.proxy != "" {
			r.Header.Set("X-Forwarded-For", c.proxy)
		}
		apitest.Ask(t, s).Send(r)
		if line := loggedLine(t, &out); line["client"] != c.client {
			t.Errorf("%s: %s for %q is logged as %v, want %v", c.shown, c.remote, c.proxy, line["client"], c.client)
		}
		if c.client == nil && (strings.Contains(out.String(), "192.0.2") || strings.Contains(out.String(), "203.0.113")) {
			t.Errorf("an address stands in %s", out.String())
		}
	}
}

// broken is a client to which no more than so many bytes of an answer can be written.
type broken struct {
	*httptest.ResponseRecorder
	takes int
}

func (b *broken) Write(piece []byte) (int, error) {
	n := min(len(piece), b.takes)
	b.takes -= n
	if n < len(piece) {
		return n, io.ErrClosedPipe
	}
	return b.ResponseRecorder.Write(piece)
}

func TestTheAccessLogSaysWhatAnAnswerCostAndThatItWasNotWritten(t *testing.T) {
	var out bytes.Buffer
	s := apitest.ServerOf(t, fixture.Fitted(t), func(c *api.Config) { c.Logger = slog.New(slog.NewJSONHandler(&out, nil)) })
	send := func(method string, takes int, ctx context.Context) map[string]any {
		out.Reset()
		target, body := apitest.OscarNeon, ""
		if method == "POST" {
			target, body = "/v1/checks", fixture.Dozen
		}
		r := apitest.NewRequest(t, method, target, body).WithContext(ctx)
		r.Header.Set("Content-Type", "application/json")
		s.Handler().ServeHTTP(&broken{httptest.NewRecorder(), takes}, r)
		return loggedLine(t, &out)
	}
	whole, gone := t.Context(), func() context.Context {
		ctx, leave := context.WithCancel(t.Context())
		leave()
		return ctx
	}()
	first := send("POST", 1<<20, whole)
	if cost, _ := first["cost"].(float64); cost < 100 || first["queued_ms"] == nil || first["written"] != nil {
		t.Errorf("a check: %v", first)
	}
	if again := send("POST", 1<<20, whole); again["cost"] != 0.0 { // from what is held in memory
		t.Errorf("the same again: %v", again)
	}
	for _, takes := range []int{0, 1, 500} {
		line := send("POST", takes, whole)
		if line["written"] != false || line["status"] != 200.0 {
			t.Errorf("%d bytes taken: %v", takes, line)
		}
		areDescribed(t, line)
	}
	if line := send("GET", 0, whole); line["written"] != false {
		t.Errorf("a lookup that nobody took: %v", line)
	}
	if line := send("HEAD", 0, whole); line["written"] != nil {
		t.Errorf("HEAD, which has nothing to be written: %v", line)
	}
	if line := send("GET", 1<<20, gone); line["written"] != false {
		t.Errorf("a client that has gone: %v", line)
	}
}

func TestAPanicIsLoggedOnceAndToldBlandly(t *testing.T) {
	var out bytes.Buffer
	s := apitest.ServerOf(t, nil, func(c *api.Config) {
		c.Book = func() *conflict.Book { panic("secret") }
		c.Logger = slog.New(slog.NewJSONHandler(&out, &slog.HandlerOptions{Level: slog.LevelError}))
	})
	a := apitest.Ask(t, s).Get(apitest.OscarNeon)
	if a.Code != 500 || strings.Contains(a.Body.String(), "secret") {
		t.Errorf("%d %s", a.Code, a.Body)
	}
	if strings.Count(out.String(), "panic: secret") != 1 || !strings.Contains(out.String(), a.Header().Get("X-Request-Id")) || strings.Count(out.String(), "\n") != 1 {
		t.Errorf("log: %s", out.String())
	}
}

func TestMetricsCountByRouteAndStatus(t *testing.T) {
	s := apitest.ServerOf(t, fixture.Few(t))
	w := apitest.Ask(t, s)
	w.Get(apitest.OscarNeon)
	w.Get("/v1/pairings/oscar/betta")
	w.Get("/nothing/" + strings.Repeat("x", 50))
	w.Do("BREW", "/v1/species", "")
	metrics := apitest.MetricsOf(t, s)
	for _, want := range []string{
		`commensal_http_request_duration_seconds_count{method="GET",route="/v1/pairings/:first/:second",status="200"} 2`,
		`commensal_http_request_duration_seconds_count{method="GET",route="unmatched",status="404"} 1`,
		`commensal_http_request_duration_seconds_count{method="other",route="/v1/species",status="405"} 1`,
		`commensal_catalogue_revision 7`,
	} {
		if !strings.Contains(metrics, want+"\n") {
			t.Errorf("%s is missing in\n%s", want, metrics)
		}
	}
}
