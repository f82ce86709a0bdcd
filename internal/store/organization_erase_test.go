package store_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"commensal/internal/store"

	"github.com/google/uuid"
)

// anyVersion is whatever version a thing has.
func anyVersion(int64) bool { return true }

// stockedTank is a tank with one line of residents.
func stockedTank(t *testing.T, s *store.Store, of uuid.UUID) (tank uuid.UUID) {
	t.Helper()
	write(t, s, of, func(tx *store.Tx) error {
		lines := []store.Resident{{Species: "danio-rerio", Line: []byte(`{}`)}}
		k, err := tx.CreateTank(t.Context(), store.Tank{Description: []byte("{}")}, lines)
		tank = k.ID
		return err
	})
	return tank
}

// untilSomebodyWaits returns when a session waits for what another one holds.
func untilSomebodyWaits(t *testing.T, dsn string) {
	t.Helper()
	for len(texts(t, dsn, `SELECT 'waits' FROM pg_stat_activity WHERE datname = current_database() AND wait_event_type = 'Lock'`)) == 0 {
		time.Sleep(10 * time.Millisecond)
	}
}

// The erasing has deleted the residents and waits for the tank; the deletion holds the tank
// and comes to its residents. One of them is given up.
func TestErasingOutlivesAnEmbraceWithADeletion(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{Patience: 30 * time.Second})
	here := organization(t, s, "Reef corner")
	tank := stockedTank(t, s, here)
	erased := make(chan error, 1)
	err := s.Write(t.Context(), here, func(tx *store.Tx) error {
		if _, err := tx.ChangeTank(t.Context(), tank, anyVersion, func(k store.Tank) (store.Tank, error) { return k, nil }); err != nil {
			return err
		}
		go func() { erased <- s.Erase(context.Background(), here) }()
		untilSomebodyWaits(t, dsn)
		return tx.DeleteTank(t.Context(), tank, anyVersion)
	})
	if err != nil && !errors.Is(err, store.ErrBusy) {
		t.Errorf("the deletion: %v", err)
	}
	if err := <-erased; err != nil {
		t.Errorf("the erasing: %v", err)
	}
	if left := texts(t, dsn, `SELECT id::text FROM tanks UNION ALL SELECT id::text FROM residents`); len(left) != 0 {
		t.Errorf("left: %v", left)
	}
}

// The erasing has seen no override and waits for the record that one is just being added to.
func TestErasingTakesWhatIsAddedMeanwhile(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{Patience: 30 * time.Second})
	here := organization(t, s, "Reef corner")
	c := record(t, s, here, "hold", nil)
	erased := make(chan error, 1)
	write(t, s, here, func(tx *store.Tx) error {
		if _, err := tx.AddOverride(t.Context(), c.ID, store.Override{Reason: "seen to"}); err != nil {
			return err
		}
		go func() { erased <- s.Erase(context.Background(), here) }()
		untilSomebodyWaits(t, dsn)
		return nil
	})
	if err := <-erased; err != nil {
		t.Errorf("the erasing: %v", err)
	}
	if left := texts(t, dsn, `SELECT id::text FROM check_records UNION ALL SELECT check_id::text FROM check_overrides`); len(left) != 0 {
		t.Errorf("left: %v", left)
	}
}
