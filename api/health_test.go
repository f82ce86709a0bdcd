package api_test

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
)

func TestNoCatalogueIsNotReady(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, nil))
	for _, target := range append([]string{"/readyz"}, apitest.Lookups...) {
		a := w.Get(target)
		if a.Code != 503 || a.Header().Get("Retry-After") != "5" {
			t.Errorf("%s: %d, Retry-After %q", target, a.Code, a.Header().Get("Retry-After"))
		}
	}
	if a := w.Post("/v1/pairings", `{"species":["oscar"]}`); a.Code != 503 {
		t.Errorf("matrix: %d", a.Code)
	}
	if a := w.Get("/livez"); a.Code != 200 {
		t.Errorf("livez: %d", a.Code)
	}
}

func healthOf(t testing.TB, a apitest.Answer) gen.Health {
	t.Helper()
	var h gen.Health
	if err := json.Unmarshal(a.Body.Bytes(), &h); err != nil || a.Code != 200 {
		t.Fatalf("%d %v %s", a.Code, err, a.Body)
	}
	return h
}

func TestReadinessIsDegradedWithoutTheDatabaseAndLookupsAreNot(t *testing.T) {
	var down atomic.Bool
	c := fixture.NewClock()
	s := apitest.ServerOf(t, fixture.Few(t), func(cfg *api.Config) {
		cfg.Now = c.Now
		cfg.Ping = func(context.Context) error {
			if down.Load() {
				return errors.New("connection to secret.example refused")
			}
			return nil
		}
	})
	w := apitest.Ask(t, s)
	if h := healthOf(t, w.Get("/readyz")); h.Status != gen.Ok || *h.CatalogueRevision != 7 || *h.Version != "test" {
		t.Errorf("%+v", h)
	}
	down.Store(true)
	if h := healthOf(t, w.Get("/readyz")); h.Status != gen.Ok {
		t.Errorf("the answer of a moment ago was not believed: %+v", h)
	}
	c.Turn(2 * time.Second)
	a := w.Get("/readyz")
	if h := healthOf(t, a); h.Status != gen.Degraded || strings.Contains(a.Body.String(), "secret") {
		t.Errorf("%+v", h)
	}
	for _, target := range apitest.Lookups {
		if a := w.Get(target); a.Code != 200 {
			t.Errorf("%s: %d without a database", target, a.Code)
		}
	}
}
