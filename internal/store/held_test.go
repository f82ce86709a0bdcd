package store_test

import (
	"errors"
	"sync"
	"testing"
	"time"

	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// A table that somebody else has locked is not waited for, not even by a statement that is
// new to its connection: that one waits while it is being prepared.
func TestALockedTableIsUnavailableAndNotWaitedFor(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{Patience: 300 * time.Millisecond})
	here := organization(t, s, "Reef corner")
	ctx := testContext(t)
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	tx, err := conn.Begin(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec(ctx, `LOCK TABLE tanks IN ACCESS EXCLUSIVE MODE`); err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for range 50 {
		wg.Go(func() {
			err := s.Read(ctx, here, func(tx *store.Tx) error {
				_, err := tx.Tanks(ctx, nil, uuid.Nil, 1)
				return err
			})
			if !errors.Is(err, store.ErrUnavailable) {
				t.Errorf("%v", err)
			}
		})
	}
	wg.Wait()
}
