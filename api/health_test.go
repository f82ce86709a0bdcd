package api

import (
	"context"
	"encoding/json"
	"errors"
	"net/http/httptest"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"commensal/api/gen"
)

// lookups are one target for each public lookup.
var lookups = []string{oscarNeon, "/v1/species", "/v1/species/oscar", "/v1/species/oscar/pairings"}

func TestNoCatalogueIsNotReady(t *testing.T) {
	w := ask(t, serverOf(t, nil))
	for _, target := range append([]string{"/readyz"}, lookups...) {
		a := w.get(target)
		if a.Code != 503 || a.Header().Get("Retry-After") != "5" {
			t.Errorf("%s: %d, Retry-After %q", target, a.Code, a.Header().Get("Retry-After"))
		}
	}
	if a := w.post("/v1/pairings", `{"species":["oscar"]}`); a.Code != 503 {
		t.Errorf("matrix: %d", a.Code)
	}
	if a := w.get("/livez"); a.Code != 200 {
		t.Errorf("livez: %d", a.Code)
	}
}

func healthOf(t testing.TB, a answer) gen.Health {
	t.Helper()
	var h gen.Health
	if err := json.Unmarshal(a.Body.Bytes(), &h); err != nil || a.Code != 200 {
		t.Fatalf("%d %v %s", a.Code, err, a.Body)
	}
	return h
}

func TestReadinessIsDegradedWithoutTheDatabaseAndLookupsAreNot(t *testing.T) {
	var down atomic.Bool
	c := newClock()
	s := serverOf(t, few(t), func(cfg *Config) {
		cfg.Now = c.Now
		cfg.Ping = func(context.Context) error {
			if down.Load() {
				return errors.New("connection to secret.example refused")
			}
			return nil
		}
	})
	w := ask(t, s)
	if h := healthOf(t, w.get("/readyz")); h.Status != gen.Ok || *h.CatalogueRevision != 7 || *h.Version != "test" {
		t.Errorf("%+v", h)
	}
	down.Store(true)
	if h := healthOf(t, w.get("/readyz")); h.Status != gen.Ok {
		t.Errorf("the answer of a moment ago was not believed: %+v", h)
	}
	c.turn(2 * time.Second)
	a := w.get("/readyz")
	if h := healthOf(t, a); h.Status != gen.Degraded || strings.Contains(a.Body.String(), "secret") {
		t.Errorf("%+v", h)
	}
	for _, target := range lookups {
		if a := w.get(target); a.Code != 200 {
			t.Errorf("%s: %d without a database", target, a.Code)
		}
	}
}

func TestReadinessChecksShareOnePing(t *testing.T) {
	var pings atomic.Int32
	release := make(chan struct{})
	s := serverOf(t, few(t), func(cfg *Config) {
		cfg.Ping = func(ctx context.Context) error {
			pings.Add(1)
			<-release
			return nil
		}
	})
	var wg sync.WaitGroup
	for range 20 {
		wg.Go(func() { s.Handler().ServeHTTP(httptest.NewRecorder(), httptest.NewRequest("GET", "/readyz", nil)) })
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := s.ready.check(ctx); err == nil {
		t.Error("a caller that went away was told that all is well")
	}
	close(release)
	wg.Wait()
	if n := pings.Load(); n != 1 {
		t.Errorf("%d pings", n)
	}
}
