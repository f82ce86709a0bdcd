package api_test

import (
	"context"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/respond"
	"commensal/api/work"
)

// Under overload whatever judges a list is refused before its body is read into values, be it sound or not, and all
// else is answered.
func TestUnderOverloadListsAreRefusedAtOnceAndAllElseIsAnswered(t *testing.T) {
	s := apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) { c.Processors = 1 })
	w := apitest.Ask(t, s)
	kept := `{"residents":[{"species":"guppy","count":6}]}`
	if a := w.Post("/v1/checks", kept); a.Code != http.StatusOK {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	overload(t, s.Lists.Desk())
	refused := func(what string, a apitest.Answer) {
		t.Helper()
		apitest.WantProblem(t, what, a, http.StatusServiceUnavailable, respond.Overloaded)
		if a.Header().Get("Retry-After") == "" {
			t.Errorf("%s: no Retry-After", what)
		}
	}
	for _, body := range []string{`{"residents":[{"species":"guppy","count":7}]}`, `not JSON`, `{"residents":[` + strings.Repeat("1,", 1000) + `1]}`} {
		for _, path := range []string{"/v1/checks", "/v1/additions", "/v1/groupings", "/v1/placements", "/v1/pairings"} {
			refused(path, w.Post(path, body))
		}
	}
	for _, page := range []string{"/lists/2-paracheirodon-innesi@60x30x36cm,25C", "/counter"} {
		refused(page, w.Get(page))
	}
	for _, target := range append([]string{"/livez", "/readyz", "/", "/species", "/species/poecilia-reticulata"}, apitest.Lookups...) {
		if a := w.Get(target); a.Code != http.StatusOK {
			t.Errorf("%s: %d", target, a.Code)
		}
	}
	if a := w.Post("/v1/checks", kept); a.Code != http.StatusOK {
		t.Errorf("an answer that is kept: %d", a.Code)
	}
}

// overload keeps a desk of one place full of short work until the end, with as much waiting as may.
func overload(b testing.TB, desk *work.Desk) {
	b.Helper()
	ctx, end := context.WithCancel(context.Background())
	var all sync.WaitGroup
	b.Cleanup(func() { end(); all.Wait() })
	hold := func() *work.Job {
		job, err := desk.Begin(ctx, 1)
		if err != nil {
			b.Fatal(err)
		}
		return job
	}
	first := hold()
	time.Sleep(100 * time.Millisecond) // so long a piece takes, it learns
	first.Done()
	var back []context.Context // of requests that were in before: those are not refused
	for range 4 {
		one := work.With(ctx, work.Open())
		if err := desk.Sit(one, 0); err != nil {
			b.Fatal(err)
		}
		work.Rise(one)
		back = append(back, one)
	}
	last := hold()
	all.Go(func() { <-ctx.Done(); last.Done() })
	for _, one := range back {
		all.Go(func() { _ = desk.Sit(one, 0) })
	}
	for short, _ := desk.Lanes(); short.Waiting < int64(len(back)); short, _ = desk.Lanes() {
		time.Sleep(time.Millisecond)
	}
}
