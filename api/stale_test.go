package api

import (
	"net/http"
	"sync/atomic"
	"testing"

	"commensal/internal/auth"

	"github.com/jackc/pgx/v5"
)

func TestAnswersSayThatTheCatalogueMayBeStale(t *testing.T) {
	var away atomic.Bool
	w := ask(t, serverOf(t, few(t), func(c *Config) { c.Stale = away.Load }))
	tag := w.get(oscarNeon).Header().Get("ETag")
	for _, stale := range []bool{false, true, false} {
		away.Store(stale)
		want := map[bool]string{true: "?1"}[stale]
		answers := []answer{w.post("/v1/pairings", `{"species":["oscar","guppy"]}`), w.get(oscarNeon, "If-None-Match", tag), w.get("/v1/species/nothing-like-it")}
		for _, target := range lookups {
			answers = append(answers, w.get(target))
		}
		for _, a := range answers {
			if got := a.Header().Get("Catalogue-Stale"); got != want {
				t.Errorf("%s %s: %q, want %q", a.request.Method, a.request.URL, got, want)
			}
		}
		if a := answers[1]; a.Code != http.StatusNotModified {
			t.Errorf("stale %v: the entity tag is another one: %d", stale, a.Code)
		}
		if a := w.get("/livez"); a.Header().Get("Catalogue-Stale") != "" {
			t.Error("livez speaks of the catalogue")
		}
	}
}

func TestAServiceThatIsAboutToStopIsNotReadyAndStillAnswers(t *testing.T) {
	var stopping atomic.Bool
	w := ask(t, serverOf(t, few(t), func(c *Config) { c.Stopping = stopping.Load }))
	if a := w.get("/readyz"); a.Code != http.StatusOK {
		t.Fatalf("readyz: %d", a.Code)
	}
	stopping.Store(true)
	wantProblem(t, "readyz", w.get("/readyz"), http.StatusServiceUnavailable, notReady)
	for _, target := range append([]string{"/livez"}, lookups...) {
		if a := w.get(target); a.Code != http.StatusOK {
			t.Errorf("%s: %d", target, a.Code)
		}
	}
}

// What keys are made and revoked with may be held by another request too.
func TestKeysThatAnotherRequestHoldsAreNotWaitedForWithoutEnd(t *testing.T) {
	h := newHouse(t)
	ours, key := h.things("here"), h.key("here", auth.Manage)
	conn, err := pgx.Connect(t.Context(), h.dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	tx, err := conn.Begin(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec(t.Context(), `
		INSERT INTO idempotency_records (organization_id, key, operation, body_hash, expires_at) VALUES ($1, 'twin', '', sha256(''), now())`, h.org["here"]); err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec(t.Context(), `SELECT 1 FROM keys WHERE id = $1 FOR UPDATE`, ours["key"]); err != nil {
		t.Fatal(err)
	}
	operations := testContract().operations
	for _, id := range []string{"createKey", "revokeKey"} {
		a := h.call(operations[id], ours, with(key, idempotency("twin"))...)
		wantProblem(t, id, a, http.StatusConflict, requestUnderWay)
	}
}
