package store_test

import (
	"errors"
	"net/url"
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
				_, err := tx.Tanks(ctx, uuid.Nil, 1)
				return err
			})
			if !errors.Is(err, store.ErrUnavailable) {
				t.Errorf("%v", err)
			}
		})
	}
	wg.Wait()
}

// A server that refuses to connect is away, whatever its reason.
func TestADatabaseThatIsNotThereIsUnavailable(t *testing.T) {
	t.Parallel()
	gone, dsn := open(t, store.Options{})
	gone.Close()
	u, err := url.Parse(dsn)
	if err != nil {
		t.Fatal(err)
	}
	u.Path = "/no_such_database"
	s := openOn(t, u.String(), store.Options{})
	if err := s.Read(testContext(t), uuid.New(), func(*store.Tx) error { return nil }); !errors.Is(err, store.ErrUnavailable) {
		t.Errorf("%v", err)
	}
}

// A database that takes no changes still answers, and says that it takes none now.
func TestADatabaseThatTakesNoChangesIsUnavailableForThem(t *testing.T) {
	t.Parallel()
	writable, dsn := open(t, store.Options{})
	here := organization(t, writable, "Reef corner")
	execute(t, dsn, `DO $$ BEGIN EXECUTE format('ALTER DATABASE %I SET default_transaction_read_only = on', current_database()); END $$`)
	s := openOn(t, dsn, store.Options{})
	list := func(tx *store.Tx) error { _, err := tx.Tanks(t.Context(), uuid.Nil, 1); return err }
	if err := s.Read(testContext(t), here, list); err != nil {
		t.Errorf("reading: %v", err)
	}
	create := func(tx *store.Tx) error {
		_, err := tx.CreateTank(t.Context(), store.Tank{Description: []byte("{}")}, nil)
		return err
	}
	if err := s.Write(testContext(t), here, create); !errors.Is(err, store.ErrUnavailable) {
		t.Errorf("writing: %v", err)
	}
}
