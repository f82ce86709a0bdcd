package api

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"commensal/internal/auth"
	"commensal/internal/store"
)

// What can go wrong with every operation that needs a key goes wrong in the same way with all
// of them.
func TestEveryKeyedOperationRefusesWhatIsMalformed(t *testing.T) {
	h := newHouse(t)
	for _, op := range keyedOperations() {
		key, ours := h.good(op, "here"), h.things("here")
		path := ours.at(t, op)
		headers := append([]string{"Content-Type", op.media}, key...)
		wantProblem(t, op.id, h.do(op.method, path+"?nonsense=1", exampleBody(t, op), headers...), http.StatusBadRequest, unknownParameter)
		if op.body == nil {
			continue
		}
		wantProblem(t, op.id, h.do(op.method, path, "{", headers...), http.StatusBadRequest, malformedBody)
		wantProblem(t, op.id, h.do(op.method, path, "{}", append([]string{"Content-Type", "text/plain"}, key...)...), http.StatusUnsupportedMediaType, unsupportedMediaType)
		wantProblem(t, op.id, h.do(op.method, path, strings.Repeat(" ", maxBody+1), headers...), http.StatusRequestEntityTooLarge, bodyTooLarge)
	}
}

func TestEveryKeptListRefusesAPageOfNothing(t *testing.T) {
	h := newHouse(t)
	n := 0
	for _, op := range keyedOperations() {
		if _, ok := op.query("limit"); ok {
			n++
			a := h.do(op.method, h.things("here").at(t, op)+"?limit=0", "", h.good(op, "here")...)
			wantProblem(t, op.id, a, http.StatusUnprocessableEntity, impossibleValue)
		}
	}
	if n < 5 {
		t.Errorf("only %d lists have a limit", n)
	}
}

func TestEveryKeyedOperationIsLimited(t *testing.T) {
	h := newHouse(t, func(c *Config) { c.KeyRateLimit = RateLimit{Quota: 1, Window: time.Hour} })
	for _, op := range keyedOperations() {
		key := h.good(op, "here")
		h.get("/v1/keys", key...) // makes the key known
		h.get("/v1/keys", key...) // spends what there is
		wantProblem(t, op.id, h.call(op, h.things("here"), key...), http.StatusTooManyRequests, tooManyRequests)
	}
}

// keyring is a source of keys that no database stands behind.
type keyring map[string]auth.Key

func (k keyring) FindKey(_ context.Context, id string) (auth.Key, error) { return k[id], nil }

func (keyring) TouchKeys(context.Context, map[string]time.Time) error { return nil }

func TestEveryKeyedOperationSaysThatTheDatabaseIsAway(t *testing.T) {
	text, id, hash := auth.NewText()
	ring := keyring{id: {ID: id, Hash: hash, Scopes: auth.AllScopes()}}
	away, err := store.Open(context.Background(), "postgres://127.0.0.1:1/nothing?sslmode=disable", store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(away.Close)
	ids := things{}
	for name := range newHouse(t).things("here") {
		ids[name] = "01a214c6-b559-725b-890d-d40b6302fac0"
	}
	for name, change := range map[string]func(*Config){
		"no database": func(c *Config) { c.Verifier = auth.NewVerifier(ring, nil) },
		"one that does not answer": func(c *Config) {
			c.Store, c.Verifier = away, auth.NewVerifier(ring, nil)
		},
		"one that cannot be asked for the key either": func(c *Config) {
			c.Store, c.Verifier = away, auth.NewVerifier(away, nil)
		},
	} {
		h := &house{witness: ask(t, serverOf(t, few(t), change)), t: t}
		for _, op := range keyedOperations() {
			a := h.call(op, ids, "Authorization", "Bearer "+text)
			wantProblem(t, op.id+", "+name, a, http.StatusServiceUnavailable, databaseAway)
			if a.Header().Get("Retry-After") != "2" {
				t.Errorf("%s: Retry-After %q", op.id, a.Header().Get("Retry-After"))
			}
		}
		if a := h.get(oscarNeon, "Authorization", "Bearer "+text); a.Code != http.StatusOK {
			t.Errorf("%s: a lookup is answered %d", name, a.Code)
		}
	}
}
