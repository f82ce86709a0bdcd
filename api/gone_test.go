package api_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"runtime"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/internal/conflict"
	"commensal/internal/torture"
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
		r.Header.Set("Content-Type", mediaOf(path))
		servedTo(s, r)
		units, _ := loggedLine(t, &log)["cost"].(float64)
		return units
	}
	for path, body := range dearBodies(t, book) {
		whole := cost(path, body, func(ctx context.Context, _ func()) (context.Context, io.Reader) { return ctx, bytes.NewReader(body) })
		if path == "/v1/pairings" { // a matrix is not a search: it is done before anybody could leave
			continue
		}
		atOnce := cost(path, body, func(ctx context.Context, leave func()) (context.Context, io.Reader) {
			return ctx, &leaving{bytes.NewReader(body), leave}
		})
		if path != batchPath && atOnce > whole/4 {
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

// servedTo answers a request as net/http does, where an answer that is cut off ends in a panic.
func servedTo(s *api.Server, r *http.Request) {
	defer func() {
		if fault := recover(); fault != nil && fault != http.ErrAbortHandler {
			panic(fault)
		}
	}()
	s.Handler().ServeHTTP(httptest.NewRecorder(), r)
}

const batchPath = "/v1/checks/batch"

func mediaOf(path string) string {
	if path == batchPath {
		return "application/x-ndjson"
	}
	return jsonMedia
}

// dearBodies are the bodies that cost most, of each operation that searches, and of a batch.
func dearBodies(t *testing.T, book *conflict.Book) map[string][]byte {
	t.Helper()
	draw := func() *asked { return newAsked(rand.New(rand.NewPCG(7, 7)), book) }
	all := map[string][]byte{batchPath: draw().batch()}
	for path, of := range dearest {
		body, err := json.Marshal(of(draw()))
		if err != nil {
			t.Fatal(err)
		}
		all[path] = body
	}
	return all
}

// Work ends within 100 ms of a client's leaving: told here for each operation that searches, as the longest of several tries that
// leave at different moments, and asserted with COMMENSAL_TORTURE_STRICT on an idle machine.
func TestWorkEndsSoonAfterItsClientHasGone(t *testing.T) {
	const promised, tries = 100 * time.Millisecond, 6
	book := fixture.Fitted(t)
	s := apitest.ServerOf(t, book, func(c *api.Config) { c.CacheBytes = -1 })
	for path, body := range dearBodies(t, book) {
		if path == "/v1/pairings" { // a matrix is not a search
			continue
		}
		var longest time.Duration
		left := 0
		for try := range tries {
			ctx, leave := context.WithCancel(t.Context())
			r := httptest.NewRequestWithContext(ctx, "POST", path, bytes.NewReader(body))
			r.Header.Set("Content-Type", mediaOf(path))
			ended := make(chan time.Time, 1)
			go func() {
				servedTo(s, r)
				ended <- time.Now()
			}()
			time.Sleep(time.Duration(5+30*try) * time.Millisecond)
			at := time.Now()
			leave()
			if end := <-ended; end.After(at) {
				left++
				longest = max(longest, end.Sub(at))
			}
		}
		t.Logf("%s: ended within %v at the most, of %d clients that left before", path, longest.Round(time.Millisecond), left)
		if left == 0 {
			t.Errorf("%s: nobody left before the end", path)
		}
		if torture.Strict() && longest > promised {
			t.Errorf("%s: worked on for %v", path, longest)
		}
	}
	if !idle(s) {
		t.Error("places are still taken")
	}
}

// idle reports that no work is under way.
func idle(s *api.Server) bool {
	short, long := s.Lists.Desk().Lanes()
	return short.Running+long.Running == 0
}
