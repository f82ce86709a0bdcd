package api_test

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/middleware"
)

func TestRateLimit(t *testing.T) {
	c := fixture.NewClock()
	s := apitest.ServerOf(t, fixture.Few(t), func(cfg *api.Config) {
		cfg.Now = c.Now
		cfg.RateLimit = middleware.RateLimit{Quota: 3, Window: 30 * time.Second}
	})
	w := apitest.Ask(t, s)
	for left := 2; left >= 0; left-- {
		a := w.Get(apitest.OscarNeon)
		if want := `"default";r=` + string(rune('0'+left)) + ";t=" + strconv.Itoa(30-10*left); a.Code != 200 || a.Header().Get("RateLimit") != want || a.Header().Get("RateLimit-Policy") != `"default";q=3;w=30` {
			t.Errorf("%d, RateLimit %q, want %q", a.Code, a.Header().Get("RateLimit"), want)
		}
	}
	for _, target := range apitest.Lookups {
		if a := w.Get(target); a.Code != 429 || a.Header().Get("Retry-After") != "10" {
			t.Errorf("%s: %d, Retry-After %q", target, a.Code, a.Header().Get("Retry-After"))
		}
	}
	if a := w.Post("/v1/pairings", `{"species":["oscar"]}`); a.Code != 429 {
		t.Errorf("matrix: %d", a.Code)
	}
	if a := w.Get("/readyz"); a.Code != 200 {
		t.Errorf("health is limited: %d", a.Code)
	}
	c.Turn(10 * time.Second)
	if a := w.Get(apitest.OscarNeon); a.Code != 200 {
		t.Errorf("after Retry-After: %d", a.Code)
	}
	r := apitest.NewRequest(t, "GET", apitest.OscarNeon, "")
	r.RemoteAddr = "198.51.100.7:1"
	if a := w.Send(r); a.Code != 200 {
		t.Errorf("another address: %d", a.Code)
	}
}

func TestPagesOfOtherOriginsMayAsk(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for _, target := range append([]string{"/v1/species/oscarr"}, apitest.Lookups...) {
		a := w.Get(target, "Origin", "https://forum.example")
		if a.Header().Get("Access-Control-Allow-Origin") != "*" || !strings.Contains(a.Header().Get("Access-Control-Expose-Headers"), "ETag") {
			t.Errorf("%s: %v", target, a.Header())
		}
	}
	a := w.Do("OPTIONS", "/v1/pairings", "", "Origin", "https://forum.example", "Access-Control-Request-Method", "POST", "Access-Control-Request-Headers", "content-type")
	if a.Code != 204 || a.Header().Get("Access-Control-Allow-Methods") != "POST" || !strings.Contains(a.Header().Get("Access-Control-Allow-Headers"), "Content-Type") || a.Header().Get("Access-Control-Allow-Origin") != "*" {
		t.Errorf("preflight: %d %v", a.Code, a.Header())
	}
	if a := w.Do("OPTIONS", "/v1/nothing", ""); a.Code != 404 {
		t.Errorf("preflight of nothing: %d", a.Code)
	}
	if a := w.Get("/livez"); a.Header().Get("Access-Control-Allow-Origin") != "" {
		t.Error("the health of the service is open to other origins")
	}
}
