package api_test

import (
	"encoding/json"
	"io"
	"log/slog"
	"net/http/httptest"
	"strconv"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/middleware"

	"github.com/labstack/echo/v4"
)

// posting is a target that is sent one body over and over.
func posting(b *testing.B, t *target, path, body string) *target {
	b.Helper()
	for _, k := range t.mine {
		k.request = []byte("POST " + path + " HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: " +
			strconv.Itoa(len(body)) + "\r\n\r\n" + body)
	}
	return t
}

// BenchmarkListsAgainstBareEcho compares the answers to whole lists with an echo handler
// that returns as many ready bytes, round by round like BenchmarkPairingAgainstBareEcho.
func BenchmarkListsAgainstBareEcho(b *testing.B) {
	for _, c := range []struct {
		name, path, body string
		cache            int64
	}{
		{"check of 12 kinds kept", "/v1/checks", fixture.Dozen, 0},
		{"check of 12 kinds computed", "/v1/checks", fixture.Dozen, -1},
		{"additions to 11 kinds computed", "/v1/additions", additionsBody(b), -1},
		{"groupings of 12 kinds computed", "/v1/groupings", groupingsBody(b), -1},
	} {
		b.Run(c.name, func(b *testing.B) {
			s := apitest.ServerOf(b, fixture.Fitted(b), func(cfg *api.Config) {
				cfg.Logger = slog.New(slog.NewJSONHandler(io.Discard, nil))
				cfg.RateLimit = middleware.RateLimit{Quota: 1 << 30}
				cfg.CacheBytes = c.cache
			})
			body := apitest.Ask(b, s).Post(c.path, c.body).Body.Bytes()
			bare := echo.New()
			bare.POST(c.path, func(c echo.Context) error { return c.JSONBlob(200, body) })
			ours := posting(b, newTarget(b, "ours", s.Handler(), c.path), c.path, c.body)
			theirs := posting(b, newTarget(b, "bare", bare, c.path), c.path, c.body)
			ours.round(b, 5)
			theirs.round(b, 5)
			ours.took, theirs.took = 0, 0
			for b.Loop() {
				ours.round(b, 5)
				theirs.round(b, 5)
			}
			b.ReportMetric(float64(theirs.took)/float64(ours.took), "ratio")
			b.ReportMetric(float64(b.N*5*len(ours.mine))/ours.took.Seconds(), "ours/s")
			b.ReportMetric(float64(len(body)), "bytes")
		})
	}
}

// additionsBody asks for what could join the residents of dozen.
func additionsBody(b *testing.B) string {
	in := fixture.TheDozen(b)
	return asText(b, gen.AdditionsRequest{Tank: in.Tank, Residents: in.Residents})
}

// groupingsBody asks for dozen, all twelve kinds, in as few tanks as will do.
func groupingsBody(b *testing.B) string {
	in := fixture.TheDozen(b)
	return asText(b, gen.GroupingsRequest{Residents: append(in.Residents, *in.Incoming...)})
}

func asText(b *testing.B, request any) string {
	b.Helper()
	text, err := json.Marshal(request)
	if err != nil {
		b.Fatal(err)
	}
	return string(text)
}

// BenchmarkHandledCheck is the whole handler of a check without a network.
func BenchmarkHandledCheck(b *testing.B) {
	s := apitest.ServerOf(b, fixture.Fitted(b), func(cfg *api.Config) { cfg.CacheBytes = -1 })
	b.ReportAllocs()
	for b.Loop() {
		r := apitest.NewRequest(b, "POST", "/v1/checks", fixture.Dozen)
		r.Header.Set("Content-Type", "application/json")
		s.Handler().ServeHTTP(httptest.NewRecorder(), r)
	}
}
