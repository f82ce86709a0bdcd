package api_test

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/middleware"
	"commensal/api/respond"
	"commensal/internal/auth"
	"commensal/internal/store"
)

// What can go wrong with every operation that needs a key goes wrong in the same way with all
// of them.
func TestEveryKeyedOperationRefusesWhatIsMalformed(t *testing.T) {
	h, bodies := apitest.NewService(t), 0
	for _, op := range apitest.KeyedOperations(t) {
		key, ours := h.Good(op, "here"), h.Things("here")
		path := ours.At(t, op)
		headers := append([]string{"Content-Type", op.Media}, key...)
		apitest.WantProblem(t, op.ID, h.Do(op.Method, path+"?nonsense=1", apitest.ExampleBody(t, op), headers...), http.StatusBadRequest, respond.UnknownParameter)
		if !op.HasBody() {
			continue
		}
		bodies++
		apitest.WantProblem(t, op.ID, h.Do(op.Method, path, "{", headers...), http.StatusBadRequest, respond.MalformedBody)
		apitest.WantProblem(t, op.ID, h.Do(op.Method, path, "{}", append([]string{"Content-Type", "text/plain"}, key...)...), http.StatusUnsupportedMediaType, respond.UnsupportedMediaType)
		apitest.WantProblem(t, op.ID, h.Do(op.Method, path, strings.Repeat(" ", int(op.MaxBody)+1), headers...), http.StatusRequestEntityTooLarge, respond.BodyTooLarge)
	}
	if bodies < 12 {
		t.Errorf("only %d operations have a body", bodies)
	}
}

func TestEveryStoredListRefusesAPageOfNothing(t *testing.T) {
	h := apitest.NewService(t)
	n := 0
	for _, op := range apitest.KeyedOperations(t) {
		if _, ok := op.Query("limit"); ok {
			n++
			a := h.Do(op.Method, h.Things("here").At(t, op)+"?limit=0", "", h.Good(op, "here")...)
			apitest.WantProblem(t, op.ID, a, http.StatusUnprocessableEntity, respond.ImpossibleValue)
		}
	}
	if n < 5 {
		t.Errorf("only %d lists have a limit", n)
	}
}

func TestEveryKeyedOperationIsLimited(t *testing.T) {
	h := apitest.NewService(t, func(c *api.Config) { c.KeyRateLimit = middleware.RateLimit{Quota: 1, Window: time.Hour} })
	for _, op := range apitest.KeyedOperations(t) {
		key := h.Good(op, "here")
		h.Get("/v1/keys", key...) // makes the key known
		if a := h.Get("/v1/keys", key...); a.Code == http.StatusTooManyRequests {
			t.Fatalf("%s: nothing was left to spend", op.ID)
		}
		apitest.WantProblem(t, op.ID, h.Call(op, h.Things("here"), key...), http.StatusTooManyRequests, respond.TooManyRequests)
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
	ids := apitest.Things{}
	for name := range apitest.NewService(t).Things("here") {
		ids[name] = "01a214c6-b559-725b-890d-d40b6302fac0"
	}
	for name, change := range map[string]func(*api.Config){
		"no database": func(c *api.Config) { c.Verifier = auth.NewVerifier(ring, nil) },
		"one that does not answer": func(c *api.Config) {
			c.Store, c.Verifier = away, auth.NewVerifier(ring, nil)
		},
		"one that cannot be asked for the key either": func(c *api.Config) {
			c.Store, c.Verifier = away, auth.NewVerifier(away, nil)
		},
	} {
		h := &apitest.Service{Witness: apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), change)), T: t}
		for _, op := range apitest.KeyedOperations(t) {
			a := h.Call(op, ids, "Authorization", "Bearer "+text)
			apitest.WantProblem(t, op.ID+", "+name, a, http.StatusServiceUnavailable, respond.DatabaseAway)
			if a.Header().Get("Retry-After") != "2" {
				t.Errorf("%s: Retry-After %q", op.ID, a.Header().Get("Retry-After"))
			}
		}
		if a := h.Get(apitest.OscarNeon, "Authorization", "Bearer "+text); a.Code != http.StatusOK {
			t.Errorf("%s: a lookup is answered %d", name, a.Code)
		}
	}
}
