package api_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"maps"
	"math/rand/v2"
	"net/http/httptest"
	"runtime"
	"slices"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
)

// leaving is a body whose client leaves as soon as all of it was sent.
type leaving struct {
	io.Reader
	leave func()
}

func (l *leaving) Read(p []byte) (int, error) {
	n, err := l.Reader.Read(p)
	if err == io.EOF {
		l.leave()
	}
	return n, err
}

// Nobody works on for a client that has gone: what is counted is the work, not the time, so that a
// machine which does other things too does not matter.
func TestNobodyWorksOnForAClientThatHasGone(t *testing.T) {
	book := fixture.Fitted(t)
	var log bytes.Buffer
	s := apitest.ServerOf(t, book, func(c *api.Config) { c.CacheBytes, c.Logger = -1, slog.New(slog.NewJSONHandler(&log, nil)) })
	cost := func(path string, body []byte, from func(ctx context.Context, leave func()) (context.Context, io.Reader)) float64 {
		log.Reset()
		ctx, leave := context.WithCancel(t.Context())
		defer leave()
		ctx, text := from(ctx, leave)
		r := httptest.NewRequestWithContext(ctx, "POST", path, text)
		r.Header.Set("Content-Type", "application/json")
		s.Handler().ServeHTTP(httptest.NewRecorder(), r)
		units, _ := loggedLine(t, &log)["cost"].(float64)
		return units
	}
	for _, path := range slices.Sorted(maps.Keys(dearest)) {
		body, err := json.Marshal(dearest[path](newAsked(rand.New(rand.NewPCG(7, 7)), book)))
		if err != nil {
			t.Fatal(err)
		}
		whole := cost(path, body, func(ctx context.Context, _ func()) (context.Context, io.Reader) { return ctx, bytes.NewReader(body) })
		if path == "/v1/pairings" { // a matrix is not a search: it is done before anybody could leave
			continue
		}
		atOnce := cost(path, body, func(ctx context.Context, leave func()) (context.Context, io.Reader) {
			return ctx, &leaving{bytes.NewReader(body), leave}
		})
		if atOnce > whole/4 {
			t.Errorf("%s: %v units after the client left, of %v", path, atOnce, whole)
		}
		midway := whole // the machine may give the one who leaves no turn before the end: then once more
		for range 20 {
			midway = min(midway, cost(path, body, func(ctx context.Context, leave func()) (context.Context, io.Reader) {
				go func() {
					for idle(s) && ctx.Err() == nil {
						runtime.Gosched()
					}
					leave()
				}()
				return ctx, bytes.NewReader(body)
			}))
			if midway < whole/2 {
				break
			}
		}
		if midway >= whole/2 {
			t.Errorf("%s: %v units, though the client left as the work began, of %v", path, midway, whole)
		}
		t.Logf("%s: %v units, %v where the client leaves as it begins, %v where it leaves before", path, whole, midway, atOnce)
	}
}

// idle reports that no work is under way.
func idle(s *api.Server) bool {
	short, long := s.Lists.Desk().Lanes()
	return short.Running+long.Running == 0
}
