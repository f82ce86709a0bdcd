package store_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// lastTank stores a tank as the last statement of its transaction.
func lastTank(ctx context.Context, tx *store.Tx) (store.Tank, error) {
	line := store.Resident{Species: "danio-rerio", Line: []byte(`{"species":"danio-rerio"}`)}
	return tx.Last().CreateTank(ctx, store.Tank{Description: []byte("{}")}, []store.Resident{line})
}

func TestTheLastStatementIsCommittedWithItsTransaction(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	var k store.Tank
	late := errors.New("too late")
	err := s.Write(testContext(t), here, func(tx *store.Tx) (err error) {
		if k, err = lastTank(t.Context(), tx); err != nil {
			return err
		}
		return late
	})
	if !errors.Is(err, late) {
		t.Fatal(err)
	}
	if read, err := s.Tank(testContext(t), here, k.ID); err != nil || read.ID != k.ID || read.Version != 1 {
		t.Errorf("%+v, %v", read, err)
	}
	if _, err := s.Tank(testContext(t), there, k.ID); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("of another organization: %v", err)
	}
	wantUsed(t, s, here, map[string]int64{"tanks": 1, "residents": 1})
	wantUsed(t, s, there, nil)
}

// What is to be kept for repeats is stored with its answer or not at all, whatever calls itself the last.
func TestWithAnAnswerToBeKeptNothingIsTheLast(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	here := organization(t, s, "Reef corner")
	once, late := store.Once{Key: "k", Operation: "POST /v1/tanks"}, errors.New("too late")
	for _, fail := range []error{late, nil} {
		answer, replayed, err := s.WriteOnce(testContext(t), here, once, func(tx *store.Tx) (store.Answer, error) {
			k, err := lastTank(t.Context(), tx)
			return store.Answer{Status: 201, Body: []byte(k.ID.String())}, errors.Join(err, fail)
		})
		if replayed || !errors.Is(err, fail) || err == nil && answer.Status != 201 {
			t.Fatalf("%+v %v %v", answer, replayed, err)
		}
		want := map[string]int64{}
		if fail == nil {
			want = map[string]int64{"tanks": 1, "residents": 1}
		}
		wantUsed(t, s, here, want)
	}
	if answer, replayed, err := s.WriteOnce(testContext(t), here, once, func(*store.Tx) (store.Answer, error) { return store.Answer{}, late }); !replayed || err != nil || answer.Status != 201 {
		t.Errorf("again: %+v %v %v", answer, replayed, err)
	}
}

// Beyond a quota all of it is refused: no tank without its residents.
func TestALastStatementThatIsRefusedLeavesNothing(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	admin, here := organization(t, s, "admins"), organization(t, s, "Reef corner")
	setQuotas(t, s, admin, here, map[string]int64{"residents": 0})
	var refused *store.QuotaError
	err := s.Write(testContext(t), here, func(tx *store.Tx) error { _, err := lastTank(t.Context(), tx); return err })
	if !errors.As(err, &refused) || refused.Kind != "residents" {
		t.Fatal(err)
	}
	wantUsed(t, s, here, nil)
	setQuotas(t, s, admin, here, nil)
	write(t, s, here, func(tx *store.Tx) error { _, err := lastTank(t.Context(), tx); return err })
	wantUsed(t, s, here, map[string]int64{"tanks": 1, "residents": 1})
}

// A connection that the server has ended meanwhile is not used for what may be done only once: another one is.
func TestTheLastStatementIsDoneOnceWhenItsConnectionHadBeenEnded(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{MaxConns: 1, MinConns: 1, Patience: 20 * time.Second})
	here := organization(t, s, "Reef corner")
	conn, err := pgx.Connect(t.Context(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	for n := range int64(3) {
		if _, err := conn.Exec(t.Context(), `SELECT pg_terminate_backend(pid, 10000) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()`); err != nil {
			t.Fatal(err)
		}
		tanks := map[uuid.UUID]bool{}
		write(t, s, here, func(tx *store.Tx) error {
			k, err := lastTank(t.Context(), tx)
			tanks[k.ID] = err == nil
			return err
		})
		wantUsed(t, s, here, map[string]int64{"tanks": n + 1, "residents": n + 1})
	}
}
