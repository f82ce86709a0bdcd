package api_test

import (
	"bytes"
	"encoding/json"
	"log/slog"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
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
	var line map[string]any
	if err := json.Unmarshal(out.Bytes(), &line); err != nil {
		t.Fatalf("%v: %s", err, out.String())
	}
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
