package api_test

import (
	"net/http"
	"strconv"
	"strings"
	"sync"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/internal/auth"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// writes reports a POST that stores something: its contract promises the mark of a repeat.
func writes(op *validate.Operation) bool {
	pointer := "/paths/" + respond.PointerToken(op.Path) + "/post/responses/201/headers/Idempotent-Replayed"
	return op.Method == http.MethodPost && apitest.Contract().At(pointer) != nil
}

func TestEveryPostThatStoresIsSafeToRepeat(t *testing.T) {
	h := apitest.NewService(t)
	n := 0
	for _, op := range apitest.KeyedOperations(t) {
		if !writes(op) {
			if op.Method == http.MethodPost && op.Lists(http.StatusCreated) {
				t.Errorf("%s makes something and does not promise to be safe to repeat", op.ID)
			}
			continue
		}
		n++
		ours := h.Things("here")
		body, key := apitest.ExampleBody(t, op), apitest.With(h.Good(op, "here"), apitest.Idempotency("key of "+op.ID))
		if apitest.RecordsCheck(op) {
			body, key = apitest.AsRecord(body), apitest.With(h.Key("here", op.Scopes[0], auth.ChecksWrite), apitest.Idempotency("key of "+op.ID))
		}
		first, again := h.CallWith(op, ours, body, key...), h.CallWith(op, ours, body, key...)
		if first.Code != http.StatusCreated || again.Code != first.Code || first.Header().Get("Idempotent-Replayed") != "" || again.Header().Get("Idempotent-Replayed") != "true" {
			t.Errorf("%s: %d %q, then %d %q", op.ID, first.Code, first.Header().Get("Idempotent-Replayed"), again.Code, again.Header().Get("Idempotent-Replayed"))
		}
		for _, name := range []string{"Location", "ETag", "Content-Type"} {
			if first.Header().Get(name) != again.Header().Get(name) {
				t.Errorf("%s: %s %q, then %q", op.ID, name, first.Header().Get(name), again.Header().Get(name))
			}
		}
		if first.Body.String() != again.Body.String() && op.ID != "createKey" { // which does not repeat its secret
			t.Errorf("%s: %s, then %s", op.ID, first.Body, again.Body)
		}
		apitest.WantProblem(t, op.ID+" with another body", h.CallWith(op, ours, body+" ", key...), http.StatusUnprocessableEntity, respond.IdempotencyKeyReused)
	}
	if n < 5 {
		t.Errorf("only %d operations store something", n)
	}
}

func TestAKeyOfOneTankIsNotAKeyOfAnother(t *testing.T) {
	k := apitest.NewTankOwner(t)
	one, other := k.Tank(`{"tank":{}}`), k.Tank(`{"tank":{}}`)
	key := apitest.With(k.Key, apitest.Idempotency("same"))
	if a := k.Post(one+"/readings", `{"ph":7}`, key...); a.Code != http.StatusCreated {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	apitest.WantProblem(t, "another path", k.Post(other+"/readings", `{"ph":7}`, key...), http.StatusUnprocessableEntity, respond.IdempotencyKeyReused)
}

func TestARefusedRequestKeepsNoAnswer(t *testing.T) {
	k := apitest.NewTankOwner(t)
	k.Tank(`{"external_ref":"T-1","tank":{}}`)
	key := apitest.With(k.Key, apitest.Idempotency("again"))
	apitest.WantProblem(t, "a number that is taken", k.Post("/v1/tanks", `{"external_ref":"T-1","tank":{}}`, key...), http.StatusConflict, respond.AlreadyExists)
	if a := k.Post("/v1/tanks", `{"external_ref":"T-2","tank":{}}`, key...); a.Code != http.StatusCreated {
		t.Errorf("the key is spent: %d %s", a.Code, a.Body)
	}
}

// Many tills send the same request at the same time: one tank is made, and everybody is
// told of it or told to come again.
func TestTwinsAtTheSameTimeMakeOneTank(t *testing.T) {
	k := apitest.NewTankOwner(t)
	answers := make([]apitest.Answer, 16)
	var wg sync.WaitGroup
	for i := range answers {
		wg.Go(func() {
			answers[i] = k.Post("/v1/tanks", `{"tank":{}}`, apitest.With(k.Key, apitest.Idempotency("twin"))...)
		})
	}
	wg.Wait()
	made := map[string]bool{}
	for _, a := range answers {
		switch a.Code {
		case http.StatusCreated:
			made[a.Header().Get("Location")] = true
		case http.StatusConflict:
		default:
			t.Errorf("%d %s", a.Code, a.Body)
		}
	}
	var stored []store.Tank
	err := k.Store.Read(t.Context(), k.Organizations["here"], func(tx *store.Tx) (err error) {
		stored, err = tx.Tanks(t.Context(), uuid.Nil, 100)
		return err
	})
	if err != nil || len(made) != 1 || len(stored) != 1 {
		t.Errorf("%d answers, %d tanks (%v)", len(made), len(stored), err)
	}
}

// The answer is in the database: another replica, or this one after a restart, repeats it.
func TestAnotherReplicaRepeatsTheAnswer(t *testing.T) {
	k := apitest.NewTankOwner(t)
	key := apitest.With(k.Key, apitest.Idempotency("replica"))
	first := k.Post("/v1/tanks", `{"tank":{}}`, key...)
	replica := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) {
		c.Store, c.Verifier = k.Store, auth.NewVerifier(k.Store, nil)
	}))
	again := replica.Post("/v1/tanks", `{"tank":{}}`, key...)
	if again.Code != http.StatusCreated || again.Body.String() != first.Body.String() || again.Header().Get("Idempotent-Replayed") != "true" {
		t.Errorf("%d %s, first %s", again.Code, again.Body, first.Body)
	}
}

func TestIdempotencyKeysAreBounded(t *testing.T) {
	k := apitest.NewTankOwner(t)
	for name, key := range map[string]string{"empty": "", "too long": strings.Repeat("k", 256), "not text": "\xff"} {
		r := apitest.NewRequest(t, http.MethodPost, "/v1/tanks", `{"tank":{}}`)
		r.Header["Content-Type"] = []string{"application/json"}
		r.Header["Authorization"] = []string{k.Key[1]}
		r.Header["Idempotency-Key"] = []string{key}
		a := k.Send(r)
		apitest.WantProblem(t, name, a, http.StatusBadRequest, respond.MalformedParameter)
	}
	for i := range 3 {
		if a := k.Post("/v1/tanks", `{"tank":{}}`, apitest.With(k.Key, apitest.Idempotency(strings.Repeat("ä", 100)+strconv.Itoa(i)))...); a.Code != http.StatusCreated {
			t.Errorf("%d %s", a.Code, a.Body)
		}
	}
}
