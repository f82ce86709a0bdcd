package apitest

import (
	"context"
	"encoding/json"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest/fixture"
	"commensal/api/respond"
	"commensal/db"
	"commensal/internal/auth"
	"commensal/internal/species/catalogue"
	"commensal/internal/store"
	"commensal/internal/store/dbtest"

	"github.com/google/uuid"
)

// KeyLife is for how long keys of the tests' service are good that are made without an end.
const KeyLife = 90 * 24 * time.Hour

// Service is a server on a database of the test's own, with organizations and keys.
type Service struct {
	*Witness
	T             testing.TB
	Server        *api.Server
	Store         *store.Store
	DSN           string
	Clock         *fixture.Clock
	Organizations map[string]uuid.UUID
	older         int64 // a revision that is not the current one, 0 before catalogue
}

// NewService opens a house with two organizations, "here" and "there".
func NewService(t testing.TB, change ...func(*api.Config)) *Service {
	t.Helper()
	return NewServiceOn(t, dbtest.New(t), change...)
}

// testPatience keeps a busy machine from failing tests that are about something else.
const testPatience = 30 * time.Second

func NewServiceOn(t testing.TB, dsn string, change ...func(*api.Config)) *Service {
	t.Helper()
	st, err := store.Open(context.Background(), dsn, store.Options{Migrations: db.MigrationsFS(), Patience: testPatience})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(st.Close)
	h := &Service{T: t, Store: st, DSN: dsn, Clock: fixture.ClockAt(time.Now()), Organizations: map[string]uuid.UUID{}}
	s := ServerOf(t, fixture.Few(t), append([]func(*api.Config){func(c *api.Config) {
		c.Store, c.Now, c.KeyLife = st, h.Clock.Now, KeyLife
		c.Verifier = auth.NewVerifier(st, h.Clock.Now)
	}}, change...)...)
	h.Server, h.Witness = s, Ask(t, s)
	for _, name := range []string{"here", "there"} {
		h.organization(name)
	}
	return h
}

// Catalogue makes the ten species the current catalogue, whatever was done to them, and
// returns an older revision with other content.
func (h *Service) Catalogue() (older int64) {
	h.T.Helper()
	if h.older == 0 {
		h.older = h.Load("As it was before.")
	}
	h.Load("")
	return h.older
}

// Load makes the ten species the current catalogue, the last of them with a note.
func (h *Service) Load(note string) (revision int64) {
	h.T.Helper()
	c, err := catalogue.Parse(fixture.FewFiles())
	if err == nil {
		if note != "" {
			c.Species[len(c.Species)-1].Note = note
		}
		revision, _, err = h.Store.LoadCatalogue(h.T.Context(), c, "ten species")
	}
	if err != nil {
		h.T.Fatal(err)
	}
	return revision
}

func (h *Service) organization(name string) uuid.UUID {
	h.T.Helper()
	o, err := h.Store.CreateOrganization(h.T.Context(), name)
	if err != nil {
		h.T.Fatal(err)
	}
	h.Organizations[name] = o.ID
	return o.ID
}

// Key makes a key and returns the header that carries it.
func (h *Service) Key(organization string, scopes ...auth.Scope) []string {
	h.T.Helper()
	return h.KeyWith(organization, auth.Key{Scopes: scopes})
}

func (h *Service) KeyWith(organization string, k auth.Key) []string {
	h.T.Helper()
	text, id, hash := auth.NewText()
	k.ID, k.Hash = id, hash
	err := h.Store.Write(h.T.Context(), h.Organizations[organization], func(tx *store.Tx) error {
		_, err := tx.CreateKey(h.T.Context(), k)
		return err
	})
	if err != nil {
		h.T.Fatal(err)
	}
	return []string{"Authorization", "Bearer " + text}
}

// Body reads an answer of a status as T.
func Body[T any](t testing.TB, a Answer, status int) (v T) {
	t.Helper()
	if a.Code != status {
		t.Fatalf("%s %s: %d, want %d: %s", a.Request.Method, a.Request.URL, a.Code, status, a.Body)
	}
	if err := json.Unmarshal(a.Body.Bytes(), &v); err != nil {
		t.Fatalf("%s: %v", a.Body, err)
	}
	return v
}

// WantProblem holds an answer against the problem that is expected.
func WantProblem(t testing.TB, what string, a Answer, status int, want respond.Slug) {
	t.Helper()
	if p := ProblemIn(t, a); a.Code != status || p.Type != "/problems/"+string(want) {
		t.Errorf("%s: %d %s, want %d %s: %s", what, a.Code, p.Type, status, want, a.Body)
	}
}

// With joins headers.
func With(headers ...[]string) (all []string) {
	for _, h := range headers {
		all = append(all, h...)
	}
	return all
}

func Idempotency(key string) []string { return []string{"Idempotency-Key", key} }
