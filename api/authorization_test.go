package api_test

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"commensal"
	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/validate"
	"commensal/internal/auth"
	"commensal/internal/store"
	"commensal/internal/store/driver"

	"github.com/google/uuid"
)

func TestEveryOperationSaysWhoMayCallIt(t *testing.T) {
	text := string(commensal.Contract())
	if _, err := validate.Compile([]byte(strings.Replace(text, "      security: [{bearerKey: [admin]}]\n", "", 1))); err == nil || !strings.Contains(err.Error(), "who may call it") {
		t.Errorf("an operation without a rule: %v", err)
	}
	if _, err := validate.Compile([]byte(strings.Replace(text, "[{bearerKey: [admin]}]", "[{bearerKey: [amdin]}]", 1))); err == nil {
		t.Error("an invented scope is accepted")
	}
	if len(apitest.KeyedOperations(t)) < 6 {
		t.Errorf("only %d operations need a key", len(apitest.KeyedOperations(t)))
	}
}

func TestEveryOperationKeepsToItsRule(t *testing.T) {
	h := apitest.NewService(t)
	unknown, _, _ := auth.NewText()
	all := auth.AllScopes()
	expired := h.KeyWith("here", auth.Key{Scopes: all, ExpiresAt: h.Clock.Now().Add(time.Minute)})
	revoked := h.Key("here", all...)
	if err := h.Store.Write(t.Context(), h.Organizations["here"], func(tx *store.Tx) error {
		return tx.RevokeKey(t.Context(), strings.Split(revoked[1], "_")[1])
	}); err != nil {
		t.Fatal(err)
	}
	h.Clock.Turn(time.Minute)
	bad := map[string][]string{
		"no key": nil, "text that is no key": {"Authorization", "Bearer x"}, "an unknown key": {"Authorization", "Bearer " + unknown},
		"an expired key": expired, "a revoked key": revoked,
	}
	for _, op := range apitest.KeyedOperations(t) {
		t.Run(op.ID, func(t *testing.T) {
			h.Witness.T, h.T = t, t
			ours := h.Things("here")
			for name, key := range bad {
				if a := h.Call(op, ours, key...); a.Code != http.StatusUnauthorized {
					t.Errorf("%s: %d %s", name, a.Code, a.Body)
				}
			}
			others := slices.DeleteFunc(slices.Clone(all), func(s auth.Scope) bool { return slices.Contains(op.Scopes, s) })
			if a := h.Call(op, ours, h.Key("here", others...)...); a.Code != http.StatusForbidden {
				t.Errorf("every scope but the right one: %d %s", a.Code, a.Body)
			}
			keepsOut(h, op)
			for _, scope := range op.Scopes {
				if a := h.Call(op, h.Things("here"), h.Key("here", scope)...); a.Code >= 300 {
					t.Errorf("a key with %s: %d %s", scope, a.Code, a.Body)
				}
			}
		})
	}
}

// keepsOut holds what a key of another organization is answered against what an id of
// nothing is answered.
func keepsOut(h *apitest.Service, op *validate.Operation) {
	h.T.Helper()
	if op.Scopes[0].BeyondOrganization() {
		return // an admin's operation is for all organizations, and so is the catalogue
	}
	stranger := h.Good(op, "there")
	ours := h.Things("here")
	if !strings.Contains(op.Path, "{") {
		if a := h.Call(op, ours, stranger...); a.Code < 300 {
			for name, id := range ours {
				if name != "species" && name != "revision" && strings.Contains(a.Body.String(), id) {
					h.T.Errorf("a stranger is told of %s: %s", id, a.Body)
				}
			}
		}
		return
	}
	none := apitest.Things{}
	for name := range ours {
		none[name] = uuid.NewString()
	}
	a, b := h.Call(op, ours, stranger...), h.Call(op, none, stranger...)
	if a.Code != http.StatusNotFound || a.Code != b.Code || withoutInstance(a) != withoutInstance(b) {
		h.T.Errorf("another's: %d %s\nnobody's: %d %s", a.Code, a.Body, b.Code, b.Body)
	}
}

func withoutInstance(a apitest.Answer) string {
	return strings.ReplaceAll(a.Body.String(), a.Header().Get("X-Request-Id"), "")
}

func TestOperationsForEverybodyTakeNoNoticeOfKeys(t *testing.T) {
	h := apitest.NewService(t)
	unknown, _, _ := auth.NewText()
	for _, target := range apitest.Lookups {
		for _, header := range []string{"Bearer x", "Bearer " + unknown, "Basic YTpi"} {
			if a := h.Get(target, "Authorization", header); a.Code != http.StatusOK {
				t.Errorf("%s with %s: %d", target, header, a.Code)
			}
		}
	}
}

// Another's id costs the database exactly what an id of nothing does: it cannot be told
// by the time it takes.
func TestAnothersThingCostsWhatNothingCosts(t *testing.T) {
	var counter driver.CallCounter
	h := apitest.NewService(t)
	counted, err := store.Open(context.Background(), h.DSN, store.Options{Tracer: &counter})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(counted.Close)
	h.Witness = apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) {
		c.Store, c.Now, c.Verifier = counted, h.Clock.Now, auth.NewVerifier(h.Store, h.Clock.Now)
	}))
	for _, op := range apitest.KeyedOperations(t) {
		if op.Scopes[0].BeyondOrganization() || !strings.Contains(op.Path, "{") {
			continue
		}
		stranger, ours := h.Good(op, "there"), h.Things("here")
		none := apitest.Things{}
		for name := range ours {
			none[name] = uuid.NewString()
		}
		cost := func(of apitest.Things) int64 {
			before := counter.Statements()
			h.Call(op, of, stranger...)
			return counter.Statements() - before
		}
		cost(ours) // whatever is prepared once
		if a, b := cost(ours), cost(none); a != b {
			t.Errorf("%s: another's thing takes %d statements, nothing takes %d", op.ID, a, b)
		}
	}
}
