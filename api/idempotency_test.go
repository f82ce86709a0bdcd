package api

import (
	"net/http"
	"strconv"
	"strings"
	"sync"
	"testing"

	"commensal/internal/auth"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// writes reports a POST that stores something: its contract promises the mark of a repeat.
func writes(op *operation) bool {
	pointer := "/paths/" + pointerToken(op.path) + "/post/responses/201/headers/Idempotent-Replayed"
	return op.method == http.MethodPost && testContract().at(pointer) != nil
}

// records reports a POST that stores something only where its body asks for a record.
func records(op *operation) bool { return op.id == "postChecks" || op.id == "checkTankWith" }

// recorded is a body that asks for a record.
func recorded(body string) string { return `{"record":true,` + strings.TrimPrefix(body, "{") }

func TestEveryPostThatStoresIsSafeToRepeat(t *testing.T) {
	h := newHouse(t)
	n := 0
	for _, op := range keyedOperations() {
		if !writes(op) {
			if op.method == http.MethodPost && op.documents(http.StatusCreated) {
				t.Errorf("%s makes something and does not promise to be safe to repeat", op.id)
			}
			continue
		}
		n++
		ours := h.things("here")
		body, key := exampleBody(t, op), with(h.good(op, "here"), idempotency("key of "+op.id))
		if records(op) {
			body, key = recorded(body), with(h.key("here", op.scopes[0], auth.ChecksWrite), idempotency("key of "+op.id))
		}
		first, again := h.callWith(op, ours, body, key...), h.callWith(op, ours, body, key...)
		if first.Code != http.StatusCreated || again.Code != first.Code || first.Header().Get("Idempotent-Replayed") != "" || again.Header().Get("Idempotent-Replayed") != "true" {
			t.Errorf("%s: %d %q, then %d %q", op.id, first.Code, first.Header().Get("Idempotent-Replayed"), again.Code, again.Header().Get("Idempotent-Replayed"))
		}
		for _, name := range []string{"Location", "ETag", "Content-Type"} {
			if first.Header().Get(name) != again.Header().Get(name) {
				t.Errorf("%s: %s %q, then %q", op.id, name, first.Header().Get(name), again.Header().Get(name))
			}
		}
		if first.Body.String() != again.Body.String() && op.id != "createKey" { // which does not repeat its secret
			t.Errorf("%s: %s, then %s", op.id, first.Body, again.Body)
		}
		wantProblem(t, op.id+" with another body", h.callWith(op, ours, body+" ", key...), http.StatusUnprocessableEntity, idempotencyKeyReused)
	}
	if n < 5 {
		t.Errorf("only %d operations store something", n)
	}
}

func TestAKeyOfOneTankIsNotAKeyOfAnother(t *testing.T) {
	k := newKeeper(t)
	one, other := k.tank(`{"tank":{}}`), k.tank(`{"tank":{}}`)
	key := with(k.key, idempotency("same"))
	if a := k.post(one+"/readings", `{"ph":7}`, key...); a.Code != http.StatusCreated {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	wantProblem(t, "another path", k.post(other+"/readings", `{"ph":7}`, key...), http.StatusUnprocessableEntity, idempotencyKeyReused)
}

func TestARefusedRequestKeepsNoAnswer(t *testing.T) {
	k := newKeeper(t)
	k.tank(`{"external_ref":"T-1","tank":{}}`)
	key := with(k.key, idempotency("again"))
	wantProblem(t, "a number that is taken", k.post("/v1/tanks", `{"external_ref":"T-1","tank":{}}`, key...), http.StatusConflict, alreadyExists)
	if a := k.post("/v1/tanks", `{"external_ref":"T-2","tank":{}}`, key...); a.Code != http.StatusCreated {
		t.Errorf("the key is spent: %d %s", a.Code, a.Body)
	}
}

// Many tills send the same request at the same time: one tank is made, and everybody is
// told of it or told to come again.
func TestTwinsAtTheSameTimeMakeOneTank(t *testing.T) {
	k := newKeeper(t)
	answers := make([]answer, 16)
	var wg sync.WaitGroup
	for i := range answers {
		wg.Go(func() { answers[i] = k.post("/v1/tanks", `{"tank":{}}`, with(k.key, idempotency("twin"))...) })
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
	err := k.store.Read(t.Context(), k.org["here"], func(tx *store.Tx) (err error) {
		stored, err = tx.Tanks(t.Context(), uuid.Nil, 100)
		return err
	})
	if err != nil || len(made) != 1 || len(stored) != 1 {
		t.Errorf("%d answers, %d tanks (%v)", len(made), len(stored), err)
	}
}

// The answer is in the database: another replica, or this one after a restart, repeats it.
func TestAnotherReplicaRepeatsTheAnswer(t *testing.T) {
	k := newKeeper(t)
	key := with(k.key, idempotency("replica"))
	first := k.post("/v1/tanks", `{"tank":{}}`, key...)
	replica := ask(t, serverOf(t, few(t), func(c *Config) {
		c.Store, c.Verifier = k.store, auth.NewVerifier(k.store, nil)
	}))
	again := replica.post("/v1/tanks", `{"tank":{}}`, key...)
	if again.Code != http.StatusCreated || again.Body.String() != first.Body.String() || again.Header().Get("Idempotent-Replayed") != "true" {
		t.Errorf("%d %s, first %s", again.Code, again.Body, first.Body)
	}
}

func TestIdempotencyKeysAreBounded(t *testing.T) {
	k := newKeeper(t)
	for name, key := range map[string]string{"empty": "", "too long": strings.Repeat("k", 256), "not text": "\xff"} {
		r := newRequest(t, http.MethodPost, "/v1/tanks", `{"tank":{}}`)
		r.Header["Content-Type"] = []string{"application/json"}
		r.Header["Authorization"] = []string{k.key[1]}
		r.Header["Idempotency-Key"] = []string{key}
		a := k.send(r)
		wantProblem(t, name, a, http.StatusBadRequest, malformedParameter)
	}
	for i := range 3 {
		if a := k.post("/v1/tanks", `{"tank":{}}`, with(k.key, idempotency(strings.Repeat("ä", 100)+strconv.Itoa(i)))...); a.Code != http.StatusCreated {
			t.Errorf("%d %s", a.Code, a.Body)
		}
	}
}
