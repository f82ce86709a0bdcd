package api_test

import (
	"encoding/json"
	"io"
	"log/slog"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"time"

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

// BenchmarkARefusal compares what it costs to refuse a check under overload with what a check of four kinds costs, both through
// the whole handler and without the network, round by round.
func BenchmarkARefusal(b *testing.B) {
	const four = `{"residents":[{"species":"guppy","count":6},{"species":"neon tetra","count":12},{"species":"bronze corydoras","count":8},{"species":"honey gourami"}],"tank":{"volume_l":112}}`
	server := func() *api.Server {
		return apitest.ServerOf(b, fixture.Fitted(b), func(cfg *api.Config) {
			cfg.Logger, cfg.CacheBytes, cfg.Processors = slog.New(slog.NewJSONHandler(io.Discard, nil)), -1, 1
		})
	}
	idle, full := server(), server()
	overload(b, full.Lists.Desk())
	ask := func(s *api.Server, want int) time.Duration {
		begin := time.Now()
		for range 20 {
			r := httptest.NewRequest("POST", "/v1/checks", strings.NewReader(four))
			r.Header.Set("Content-Type", "application/json")
			w := httptest.NewRecorder()
			s.Handler().ServeHTTP(w, r)
			if w.Code != want {
				b.Fatalf("%d %s", w.Code, w.Body)
			}
		}
		return time.Since(begin)
	}
	var served, refused time.Duration
	for b.Loop() {
		served += ask(idle, 200)
		refused += ask(full, 503)
	}
	b.ReportMetric(float64(served)/float64(refused), "ratio")
	b.ReportMetric(float64(refused.Nanoseconds())/float64(20*b.N), "ns/refusal")
}
