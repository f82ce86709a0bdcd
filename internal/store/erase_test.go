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
		k, err := tx.CreateTank(t.Context(), store.Tank{Description: []byte("{}")}, []store.Resident{{Species: "danio-rerio", Line: []byte(`{}`)}})
		tank = k.ID
		return err
	})
	return tank
}

// The erasing has deleted the residents and waits for the tank; the deletion holds the tank
// and comes to its residents. One of them is given up by the database.
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
		for len(texts(t, dsn, `SELECT 'waits' FROM pg_stat_activity WHERE datname = current_database() AND wait_event_type = 'Lock'`)) == 0 {
			time.Sleep(10 * time.Millisecond)
		}
		// The database looks for an embrace after a second, and the deletion gives up sooner: it begins
		// to wait so late that it is still waiting then.
		time.Sleep(600 * time.Millisecond)
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
