package api_test

import (
	"bufio"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"runtime"
	"sync"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/middleware"

	"github.com/labstack/echo/v4"
)

// target is a server on loopback with connections that are kept open.
type target struct {
	name string
	took time.Duration
	mine []*kept
}

// kept is one connection and the request that is sent on it over and over.
type kept struct {
	conn    net.Conn
	reader  *bufio.Reader
	request []byte
}

func newTarget(b *testing.B, name string, h http.Handler, paths ...string) *target {
	b.Helper()
	server := httptest.NewServer(h)
	b.Cleanup(server.Close)
	t := &target{name: name}
	for i := range 4 * runtime.GOMAXPROCS(0) {
		conn, err := net.Dial("tcp", server.Listener.Addr().String())
		if err != nil {
			b.Fatal(err)
		}
		b.Cleanup(func() { conn.Close() })
		request := "GET " + paths[i%len(paths)] + " HTTP/1.1\r\nHost: localhost\r\n\r\n"
		t.mine = append(t.mine, &kept{conn, bufio.NewReader(conn), []byte(request)})
	}
	return t
}

// round sends n requests on every connection at once and adds up the time.
func (t *target) round(b *testing.B, n int) {
	start := time.Now()
	var wg sync.WaitGroup
	for _, k := range t.mine {
		wg.Go(func() {
			for range n {
				if err := k.ask(); err != nil {
					b.Error(err)
					return
				}
			}
		})
	}
	wg.Wait()
	t.took += time.Since(start)
}

// ask sends the request and reads the whole answer, with little work of its own: the
// client shares the processors with the server.
func (k *kept) ask() error {
	if _, err := k.conn.Write(k.request); err != nil {
		return err
	}
	answer, err := http.ReadResponse(k.reader, nil)
	if err != nil {
		return err
	}
	_, err = io.Copy(io.Discard, answer.Body)
	return err
}

// BenchmarkPairingAgainstBareEcho compares an explained pairing with an echo handler
// that returns as many ready bytes. Rounds of the two alternate, so that a machine
// that slows down slows both; the ratio is of requests in equal time. The pairing has
// its access log on, written to nowhere, its metrics and its limit.
func BenchmarkPairingAgainstBareEcho(b *testing.B) {
	for _, c := range []struct {
		name  string
		cache int64
		path  string
	}{
		{"kept", 0, apitest.OscarNeon},
		{"kept with a query", 0, apitest.OscarNeon + "?tank=120x50x50cm&temperature_c=78F&ph=7"},
		{"computed", -1, apitest.OscarNeon},
	} {
		b.Run(c.name, func(b *testing.B) {
			s := apitest.ServerOf(b, fixture.Few(b), func(cfg *api.Config) {
				cfg.CacheBytes = c.cache
				cfg.Logger = slog.New(slog.NewJSONHandler(io.Discard, nil))
				cfg.RateLimit = middleware.RateLimit{Quota: 1 << 30}
			})
			body := apitest.Ask(b, s).Get(c.path).Body.Bytes()
			bare := echo.New()
			bare.GET("/v1/pairings/:first/:second", func(c echo.Context) error { return c.JSONBlob(200, body) })
			ours, theirs := newTarget(b, "ours", s.Handler(), c.path), newTarget(b, "bare", bare, c.path)
			ours.round(b, 50)
			theirs.round(b, 50)
			ours.took, theirs.took = 0, 0
			for b.Loop() {
				ours.round(b, 50)
				theirs.round(b, 50)
			}
			b.ReportMetric(float64(theirs.took)/float64(ours.took), "ratio")
			requests := float64(b.N * 50 * len(ours.mine))
			b.ReportMetric(requests/ours.took.Seconds(), "ours/s")
			b.ReportMetric(requests/theirs.took.Seconds(), "bare/s")
		})
	}
}

// BenchmarkHandler is the work of the handlers alone, without a network.
func BenchmarkHandler(b *testing.B) {
	for _, c := range []struct {
		name, path string
		cache      int64
	}{
		{"pairing kept", apitest.OscarNeon, 0},
		{"pairing computed", apitest.OscarNeon, -1},
		{"species", "/v1/species/oscar", 0},
		{"search", "/v1/species?q=cichlid", 0},
		{"ranked", "/v1/species/oscar/pairings", 0},
		{"not modified", "/openapi.yaml", 0},
	} {
		b.Run(c.name, func(b *testing.B) {
			s := apitest.ServerOf(b, fixture.Full(b), func(cfg *api.Config) { cfg.CacheBytes = c.cache })
			r := apitest.NewRequest(b, "GET", c.path, "")
			r.Header.Set("If-None-Match", "*")
			if c.name != "not modified" {
				r.Header.Del("If-None-Match")
			}
			b.ReportAllocs()
			for b.Loop() {
				s.Handler().ServeHTTP(httptest.NewRecorder(), r)
			}
		})
	}
}
