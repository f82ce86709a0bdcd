package store_test

import (
	"errors"
	"sync"
	"testing"
	"time"

	"commensal/internal/store"

	"github.com/google/uuid"
)

// usage is what an organization has stored, by kind.
func usage(t *testing.T, s *store.Store, of uuid.UUID) map[string]store.Usage {
	t.Helper()
	out := map[string]store.Usage{}
	err := s.Read(testContext(t), of, func(tx *store.Tx) error {
		list, err := tx.Usage(t.Context())
		for _, u := range list {
			out[u.Kind] = u
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(out) != 6 {
		t.Fatalf("%d kinds: %v", len(out), out)
	}
	return out
}

func wantUsed(t *testing.T, s *store.Store, of uuid.UUID, want map[string]int64) {
	t.Helper()
	for kind, u := range usage(t, s, of) {
		if kind != "recorded_bytes" && u.Used != want[kind] {
			t.Errorf("%d %s, want %d", u.Used, kind, want[kind])
		}
		if kind == "recorded_bytes" && (u.Used > 0) != (want[kind] > 0) {
			t.Errorf("%d recorded bytes", u.Used)
		}
	}
}

func setQuotas(t *testing.T, s *store.Store, admin, of uuid.UUID, most map[string]int64) {
	t.Helper()
	write(t, s, admin, func(tx *store.Tx) error {
		back, err := tx.ActFor(t.Context(), of)
		if err != nil {
			return err
		}
		if err := tx.SetQuotas(t.Context(), most); err != nil {
			return err
		}
		return back()
	})
}

func TestWhatIsStoredIsCounted(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	wantUsed(t, s, here, nil)
	first := createTank(t, s, here)
	createTank(t, s, here)
	createTank(t, s, there)
	record(t, s, here, "hold", nil)
	wantUsed(t, s, here, map[string]int64{"tanks": 2, "residents": 2, "readings": 2, "recorded_bytes": 1})
	wantUsed(t, s, there, map[string]int64{"tanks": 1, "residents": 1, "readings": 1})
	write(t, s, here, func(tx *store.Tx) error {
		return tx.DeleteTank(t.Context(), first, func(int64) bool { return true })
	})
	wantUsed(t, s, here, map[string]int64{"tanks": 1, "residents": 1, "readings": 1, "recorded_bytes": 1})
	failed := errors.New("failed")
	if err := s.Write(testContext(t), here, func(tx *store.Tx) error {
		_, err := tx.CreateTank(t.Context(), store.Tank{Description: []byte("{}")}, nil)
		return errors.Join(err, failed)
	}); !errors.Is(err, failed) {
		t.Fatal(err)
	}
	wantUsed(t, s, here, map[string]int64{"tanks": 1, "residents": 1, "readings": 1, "recorded_bytes": 1}) // nothing of what failed
	if err := s.Erase(testContext(t), here); err != nil {
		t.Fatal(err)
	}
	wantUsed(t, s, here, nil)
}

func TestAQuotaIsHeld(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	admin, here, there := organization(t, s, "Operator"), organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	setQuotas(t, s, admin, here, map[string]int64{"tanks": 2, "readings": 100, "recorded_bytes": 0})
	if u := usage(t, s, here); u["tanks"].Quota != 2 || u["tanks"].Usual || !u["reports"].Usual || u["reports"].Quota == 0 {
		t.Errorf("%+v", u)
	}
	first := createTank(t, s, here)
	createTank(t, s, here)
	another := func(of uuid.UUID) error {
		return s.Write(testContext(t), of, func(tx *store.Tx) error {
			_, err := tx.CreateTank(t.Context(), store.Tank{Description: []byte("{}")}, nil)
			return err
		})
	}
	var full *store.QuotaError
	if err := another(here); !errors.As(err, &full) || full.Kind != "tanks" || full.Detail != "3 of 2" {
		t.Errorf("a tank too many: %v", err)
	}
	if err := another(there); err != nil {
		t.Errorf("another organization: %v", err)
	}
	if _, err := tryRecord(t, s, here); !errors.As(err, &full) || full.Kind != "recorded_bytes" {
		t.Errorf("bytes too many: %v", err)
	}
	write(t, s, here, func(tx *store.Tx) error {
		return tx.DeleteTank(t.Context(), first, func(int64) bool { return true })
	})
	if err := another(here); err != nil {
		t.Errorf("after one has gone: %v", err)
	}
	setQuotas(t, s, admin, here, nil)
	if err := another(here); err != nil {
		t.Errorf("with the usual quota: %v", err)
	}
	err := s.Write(testContext(t), admin, func(tx *store.Tx) error {
		if _, err := tx.ActFor(t.Context(), uuid.New()); err != nil {
			return err
		}
		return tx.SetQuotas(t.Context(), nil)
	})
	if !errors.Is(err, store.ErrNotFound) {
		t.Errorf("of nobody: %v", err)
	}
}

// TestManyWritersAreCountedExactly lets writers of one organization go at it together.
func TestManyWritersAreCountedExactly(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{Patience: time.Minute})
	here := organization(t, s, "Reef corner")
	var group sync.WaitGroup
	for range 6 {
		group.Go(func() {
			for range 10 {
				createTank(t, s, here)
			}
		})
	}
	group.Wait()
	wantUsed(t, s, here, map[string]int64{"tanks": 60, "residents": 60, "readings": 60})
}

// tryRecord records a check, or says why not.
func tryRecord(t *testing.T, s *store.Store, of uuid.UUID) (c store.CheckRecord, err error) {
	t.Helper()
	err = s.Write(testContext(t), of, func(tx *store.Tx) (err error) {
		c, err = tx.RecordCheck(t.Context(), store.CheckRecord{Key: "aaaaaaaaaaaaaaaa", Decision: "hold", Summary: "Because.",
			Revision: 7, Model: "m1", Program: "p1", Input: []byte(`{}`), Answer: []byte(`{"decision":"hold"}`)})
		return err
	})
	return c, err
}
