package api

import (
	"context"
	"encoding/json"
	"os"
	"testing"
	"time"

	"commensal/db"
	"commensal/internal/auth"
	"commensal/internal/species/catalogue"
	"commensal/internal/store"
	"commensal/internal/store/dbtest"

	"github.com/google/uuid"
)

// house is a server on a database of the test's own, with organizations and keys.
type house struct {
	*witness
	t     testing.TB
	store *store.Store
	dsn   string
	clock *clock
	org   map[string]uuid.UUID
	older int64 // a revision that is not the current one, 0 before catalogue
}

// newHouse opens a house with two organizations, "here" and "there".
func newHouse(t testing.TB, change ...func(*Config)) *house {
	t.Helper()
	return newHouseOn(t, dbtest.New(t), change...)
}

// testPatience keeps a busy machine from failing tests that are about something else.
const testPatience = 30 * time.Second

func newHouseOn(t testing.TB, dsn string, change ...func(*Config)) *house {
	t.Helper()
	st, err := store.Open(context.Background(), dsn, store.Options{Migrations: db.MigrationsFS(), Patience: testPatience})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(st.Close)
	h := &house{t: t, store: st, dsn: dsn, clock: &clock{now: time.Now()}, org: map[string]uuid.UUID{}}
	s := serverOf(t, few(t), append([]func(*Config){func(c *Config) {
		c.Store, c.Now = st, h.clock.Now
		c.Verifier = auth.NewVerifier(st, h.clock.Now)
	}}, change...)...)
	h.witness = ask(t, s)
	for _, name := range []string{"here", "there"} {
		h.organization(name)
	}
	return h
}

// catalogue makes the ten species the current catalogue, whatever was done to them, and
// returns an older revision with other content.
func (h *house) catalogue() (older int64) {
	h.t.Helper()
	if h.older == 0 {
		h.older = h.load("As it was before.")
	}
	h.load("")
	return h.older
}

// load makes the ten species the current catalogue, the last of them with a note.
func (h *house) load(note string) (revision int64) {
	h.t.Helper()
	c, err := catalogue.Parse(os.DirFS("testdata/catalogue"))
	if err == nil {
		if note != "" {
			c.Species[len(c.Species)-1].Note = note
		}
		revision, _, err = h.store.LoadCatalogue(h.t.Context(), c, "ten species")
	}
	if err != nil {
		h.t.Fatal(err)
	}
	return revision
}

func (h *house) organization(name string) uuid.UUID {
	h.t.Helper()
	o, err := h.store.CreateOrganization(h.t.Context(), name)
	if err != nil {
		h.t.Fatal(err)
	}
	h.org[name] = o.ID
	return o.ID
}

// key makes a key and returns the header that carries it.
func (h *house) key(organization string, scopes ...auth.Scope) []string {
	h.t.Helper()
	return h.keyWith(organization, auth.Key{Scopes: scopes})
}

func (h *house) keyWith(organization string, k auth.Key) []string {
	h.t.Helper()
	text, id, hash := auth.NewText()
	k.ID, k.Hash = id, hash
	err := h.store.Write(h.t.Context(), h.org[organization], func(tx *store.Tx) error {
		_, err := tx.CreateKey(h.t.Context(), k)
		return err
	})
	if err != nil {
		h.t.Fatal(err)
	}
	return []string{"Authorization", "Bearer " + text}
}

// body reads an answer of a status as T.
func body[T any](t testing.TB, a answer, status int) (v T) {
	t.Helper()
	if a.Code != status {
		t.Fatalf("%s %s: %d, want %d: %s", a.request.Method, a.request.URL, a.Code, status, a.Body)
	}
	if err := json.Unmarshal(a.Body.Bytes(), &v); err != nil {
		t.Fatalf("%s: %v", a.Body, err)
	}
	return v
}

// wantProblem holds an answer against the problem that is expected.
func wantProblem(t testing.TB, what string, a answer, status int, want slug) {
	t.Helper()
	if p := problemIn(t, a); a.Code != status || p.Type != "/problems/"+string(want) {
		t.Errorf("%s: %d %s, want %d %s: %s", what, a.Code, p.Type, status, want, a.Body)
	}
}

// with joins headers.
func with(headers ...[]string) (all []string) {
	for _, h := range headers {
		all = append(all, h...)
	}
	return all
}

func idempotency(key string) []string { return []string{"Idempotency-Key", key} }
