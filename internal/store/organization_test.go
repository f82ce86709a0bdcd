package store_test

import (
	"errors"
	"testing"
	"time"

	"commensal/internal/auth"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// organization makes an organization on a store.
func organization(tb testing.TB, s *store.Store, name string) uuid.UUID {
	tb.Helper()
	o, err := s.CreateOrganization(testContext(tb), name)
	if err != nil {
		tb.Fatal(err)
	}
	return o.ID
}

// write runs do for an organization, which must succeed.
func write(tb testing.TB, s *store.Store, of uuid.UUID, do func(*store.Tx) error) {
	tb.Helper()
	if err := s.Write(testContext(tb), of, do); err != nil {
		tb.Fatal(err)
	}
}

func createKey(tb testing.TB, s *store.Store, of uuid.UUID) auth.Key {
	tb.Helper()
	_, id, hash := auth.NewText()
	var k auth.Key
	write(tb, s, of, func(tx *store.Tx) (err error) {
		k, err = tx.CreateKey(tb.Context(), auth.Key{ID: id, Hash: hash, Label: "till", Scopes: []auth.Scope{auth.TanksRead}})
		return err
	})
	return k
}

// createTank makes a tank with a line of residents and a reading, and returns its id.
func createTank(tb testing.TB, s *store.Store, of uuid.UUID) (id uuid.UUID) {
	tb.Helper()
	ph := 7.0
	write(tb, s, of, func(tx *store.Tx) error {
		line := store.Resident{Species: "danio-rerio", Line: []byte(`{"species":"danio-rerio"}`)}
		k, err := tx.CreateTank(tb.Context(), store.Tank{Description: []byte("{}")}, []store.Resident{line})
		if err != nil {
			return err
		}
		id = k.ID
		_, err = tx.AddReading(tb.Context(), k.ID, store.Reading{TakenAt: time.Now(), Values: [4]*float64{1: &ph}})
		return err
	})
	return id
}

func TestKeysAreMadeFoundUsedAndRevoked(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	ctx := testContext(t)
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	k := createKey(t, s, here)
	found, err := s.FindKey(ctx, k.ID)
	if err != nil || found.Organization != here || found.Hash != k.Hash || found.Label != "till" || !found.ExpiresAt.IsZero() ||
		len(found.Scopes) != 1 || found.Scopes[0] != auth.TanksRead {
		t.Fatalf("%+v, %v", found, err)
	}
	if _, err := s.FindKey(ctx, "aaaaaaaaaaaaaaaa"); !errors.Is(err, auth.ErrUnknown) {
		t.Errorf("an unknown key: %v", err)
	}
	used := time.Now().Truncate(time.Microsecond)
	for _, at := range []time.Time{used, used.Add(-time.Hour)} {
		if err := s.TouchKeys(ctx, map[string]time.Time{k.ID: at}); err != nil {
			t.Fatal(err)
		}
	}
	if found, err = s.FindKey(ctx, k.ID); err != nil || !found.LastUsedAt.Equal(used) {
		t.Errorf("last used %v, want %v (%v)", found.LastUsedAt, used, err)
	}
	if err := s.Write(ctx, there, func(tx *store.Tx) error { return tx.RevokeKey(ctx, k.ID) }); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("another organization's key was revoked: %v", err)
	}
	write(t, s, here, func(tx *store.Tx) error { return tx.RevokeKey(ctx, k.ID) })
	if found, err = s.FindKey(ctx, k.ID); err != nil || found.RevokedAt.IsZero() {
		t.Errorf("not revoked: %+v, %v", found, err)
	}
	write(t, s, there, func(tx *store.Tx) error {
		if list, err := tx.Keys(ctx, "", 10); err != nil || len(list) != 0 {
			t.Errorf("another organization sees %v (%v)", list, err)
		}
		return nil
	})
}

func TestNamesOfOrganizationsAreUnique(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	ctx := testContext(t)
	first := organization(t, s, "Reef corner")
	var taken *store.ConstraintError
	if _, err := s.CreateOrganization(ctx, "Reef corner"); !errors.As(err, &taken) || taken.Constraint != store.NameTaken {
		t.Errorf("twice: %v", err)
	}
	second := organization(t, s, "Pond club")
	list, err := s.Organizations(ctx, uuid.Nil, 10)
	if err != nil || len(list) != 2 || list[0].ID != first || list[1].ID != second {
		t.Errorf("%v, %v", list, err)
	}
	if list, err = s.Organizations(ctx, first, 10); err != nil || len(list) != 1 || list[0].ID != second {
		t.Errorf("behind the first: %v, %v", list, err)
	}
}

func TestErasingAnOrganizationLeavesOthersAlone(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	ctx := testContext(t)
	for _, name := range []string{"Reef corner", "Pond club"} {
		_, _, err := s.WriteOnce(ctx, organization(t, s, name), store.Once{Key: "k", Operation: name}, func(*store.Tx) (store.Answer, error) {
			return store.Answer{Status: 201}, nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	o, err := s.OrganizationByName(ctx, "Reef corner")
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Erase(ctx, o.ID); err != nil {
		t.Fatal(err)
	}
	if left := texts(t, dsn, `SELECT operation FROM idempotency_records`); len(left) != 1 || left[0] != "Pond club" {
		t.Errorf("left: %v", left)
	}
	if err := s.Erase(ctx, uuid.New()); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("nobody: %v", err)
	}
}
