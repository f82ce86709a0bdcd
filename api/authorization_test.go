package api

import (
	"context"
	"encoding/json"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"commensal"
	"commensal/internal/auth"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// keyedOperations are the operations of the contract that need a key, in order.
func keyedOperations() (list []*operation) {
	all := testContract().operations
	for _, id := range slices.Sorted(maps.Keys(all)) {
		if len(all[id].scopes) > 0 {
			list = append(list, all[id])
		}
	}
	return list
}

// things are ids of one organization's things, by the name of the path parameter that they stand
// for. An operation with a new parameter needs a new thing here, or its test fails.
type things map[string]string

// things makes one of everything for an organization.
func (h *house) things(organization string) things {
	h.t.Helper()
	text := h.key(organization, auth.TanksRead)[1]
	out := things{"organization": h.org[organization].String(), "key": strings.Split(text, "_")[1]}
	err := h.store.Write(h.t.Context(), h.org[organization], func(tx *store.Tx) error {
		tank, err := tx.CreateTank(h.t.Context(), store.Tank{Description: []byte("{}")}, nil)
		if err != nil {
			return err
		}
		line := store.Resident{Species: "paracheirodon-innesi", Line: []byte(`{"species":"paracheirodon-innesi","count":12}`)}
		lines, err := tx.AddResidents(h.t.Context(), tank.ID, []store.Resident{line}, 1)
		if err != nil {
			return err
		}
		out["tank"], out["resident"] = tank.ID.String(), lines[0].ID.String()
		check, err := tx.RecordCheck(h.t.Context(), onHold(h.t))
		if err != nil {
			return err
		}
		report, err := tx.CreateReport(h.t.Context(), store.Report{Fish: [2]store.ReportedFish{{Species: "paracheirodon-innesi"}, {Species: "paracheirodon-innesi"}}})
		out["check"], out["report"] = check.ID.String(), report.ID.String()
		return err
	})
	if err != nil {
		h.t.Fatal(err)
	}
	out["species"], out["revision"] = "danio-rerio", strconv.FormatInt(h.catalogue(), 10)
	return out
}

// at fills the ids into a path template.
func (t things) at(tb testing.TB, op *operation) string {
	tb.Helper()
	path := op.path
	for name, id := range t {
		path = strings.ReplaceAll(path, "{"+name+"}", id)
	}
	if strings.Contains(path, "{") {
		tb.Fatalf("%s: make a thing for its path %s", op.id, path)
	}
	return path
}

// exampleBody is the example of the operation's body in the contract; "" for none.
func exampleBody(tb testing.TB, op *operation) string {
	tb.Helper()
	if op.body == nil {
		return ""
	}
	pointer := "/paths/" + pointerToken(op.path) + "/" + strings.ToLower(op.method) + "/requestBody/content/" + pointerToken(op.media) + "/example"
	example := testContract().at(pointer)
	if example == nil {
		tb.Fatalf("%s: its body has no example", op.id)
	}
	text, err := json.Marshal(example)
	if err != nil {
		tb.Fatal(err)
	}
	return string(text)
}

// call makes the request of an operation as its example has it.
func (h *house) call(op *operation, of things, headers ...string) answer {
	h.t.Helper()
	return h.callWith(op, of, exampleBody(h.t, op), headers...)
}

func (h *house) callWith(op *operation, of things, body string, headers ...string) answer {
	h.t.Helper()
	if op.body != nil {
		headers = append([]string{"Content-Type", op.media}, headers...)
	}
	if op.documents(http.StatusPreconditionRequired) {
		headers = append([]string{"If-Match", "*"}, headers...)
	}
	return h.do(op.method, of.at(h.t, op), body, headers...)
}

// good is a key that the operation accepts: of an organization, with the first scope
// named; admin only where nothing else will do.
func (h *house) good(op *operation, organization string) []string {
	return h.key(organization, op.scopes[0])
}

func TestEveryOperationSaysWhoMayCallIt(t *testing.T) {
	text := string(commensal.Contract())
	if _, err := compileContract([]byte(strings.Replace(text, "      security: [{key: [admin]}]\n", "", 1))); err == nil || !strings.Contains(err.Error(), "who may call it") {
		t.Errorf("an operation without a rule: %v", err)
	}
	if _, err := compileContract([]byte(strings.Replace(text, "[{key: [admin]}]", "[{key: [amdin]}]", 1))); err == nil {
		t.Error("an invented scope is accepted")
	}
	if len(keyedOperations()) < 6 {
		t.Errorf("only %d operations need a key", len(keyedOperations()))
	}
}

func TestEveryOperationKeepsToItsRule(t *testing.T) {
	h := newHouse(t)
	unknown, _, _ := auth.NewText()
	all := auth.AllScopes()
	expired := h.keyWith("here", auth.Key{Scopes: all, ExpiresAt: h.clock.Now().Add(time.Minute)})
	revoked := h.key("here", all...)
	if err := h.store.Write(t.Context(), h.org["here"], func(tx *store.Tx) error {
		return tx.RevokeKey(t.Context(), strings.Split(revoked[1], "_")[1])
	}); err != nil {
		t.Fatal(err)
	}
	h.clock.turn(time.Minute)
	bad := map[string][]string{
		"no key": nil, "text that is no key": {"Authorization", "Bearer x"}, "an unknown key": {"Authorization", "Bearer " + unknown},
		"an expired key": expired, "a revoked key": revoked,
	}
	for _, op := range keyedOperations() {
		t.Run(op.id, func(t *testing.T) {
			h.witness.t, h.t = t, t
			ours := h.things("here")
			for name, key := range bad {
				if a := h.call(op, ours, key...); a.Code != http.StatusUnauthorized {
					t.Errorf("%s: %d %s", name, a.Code, a.Body)
				}
			}
			others := slices.DeleteFunc(slices.Clone(all), func(s auth.Scope) bool { return slices.Contains(op.scopes, s) })
			if a := h.call(op, ours, h.key("here", others...)...); a.Code != http.StatusForbidden {
				t.Errorf("every scope but the right one: %d %s", a.Code, a.Body)
			}
			h.keepsOut(op)
			for _, scope := range op.scopes {
				if a := h.call(op, h.things("here"), h.key("here", scope)...); a.Code >= 300 {
					t.Errorf("a key with %s: %d %s", scope, a.Code, a.Body)
				}
			}
		})
	}
}

// keepsOut holds what a key of another organization is answered against what an id of
// nothing is answered.
func (h *house) keepsOut(op *operation) {
	h.t.Helper()
	if op.scopes[0].BeyondOrganization() {
		return // an admin's operation is for all organizations, and so is the catalogue
	}
	stranger := h.good(op, "there")
	ours := h.things("here")
	if !strings.Contains(op.path, "{") {
		if a := h.call(op, ours, stranger...); a.Code < 300 {
			for name, id := range ours {
				if name != "species" && name != "revision" && strings.Contains(a.Body.String(), id) {
					h.t.Errorf("a stranger is told of %s: %s", id, a.Body)
				}
			}
		}
		return
	}
	none := things{}
	for name := range ours {
		none[name] = uuid.NewString()
	}
	a, b := h.call(op, ours, stranger...), h.call(op, none, stranger...)
	if a.Code != http.StatusNotFound || a.Code != b.Code || withoutInstance(a) != withoutInstance(b) {
		h.t.Errorf("another's: %d %s\nnobody's: %d %s", a.Code, a.Body, b.Code, b.Body)
	}
}

func withoutInstance(a answer) string {
	return strings.ReplaceAll(a.Body.String(), a.Header().Get("X-Request-Id"), "")
}

func TestOperationsForEverybodyTakeNoNoticeOfKeys(t *testing.T) {
	h := newHouse(t)
	unknown, _, _ := auth.NewText()
	for _, target := range lookups {
		for _, header := range []string{"Bearer x", "Bearer " + unknown, "Basic YTpi"} {
			if a := h.get(target, "Authorization", header); a.Code != http.StatusOK {
				t.Errorf("%s with %s: %d", target, header, a.Code)
			}
		}
	}
}

// Another's id costs the database exactly what an id of nothing does: it cannot be told
// by the time it takes.
func TestAnothersThingCostsWhatNothingCosts(t *testing.T) {
	var counter store.CallCounter
	h := newHouse(t)
	counted, err := store.Open(context.Background(), h.dsn, store.Options{Tracer: &counter})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(counted.Close)
	h.witness = ask(t, serverOf(t, few(t), func(c *Config) {
		c.Store, c.Now, c.Verifier = counted, h.clock.Now, auth.NewVerifier(h.store, h.clock.Now)
	}))
	for _, op := range keyedOperations() {
		if op.scopes[0].BeyondOrganization() || !strings.Contains(op.path, "{") {
			continue
		}
		stranger, ours := h.good(op, "there"), h.things("here")
		none := things{}
		for name := range ours {
			none[name] = uuid.NewString()
		}
		cost := func(of things) int64 {
			before := counter.Statements()
			h.call(op, of, stranger...)
			return counter.Statements() - before
		}
		cost(ours) // whatever is prepared once
		if a, b := cost(ours), cost(none); a != b {
			t.Errorf("%s: another's thing takes %d statements, nothing takes %d", op.id, a, b)
		}
	}
}
