package store_test

import (
	"errors"
	"slices"
	"sync"
	"testing"

	"commensal/internal/store"

	"github.com/google/uuid"
)

// Staff at several desks override the same hold: each is numbered, none is lost, and there is an
// end to it.
func TestOverridesAtTheSameTimeTakeTurns(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	here := organization(t, s, "Reef corner")
	c := record(t, s, here, "hold", nil)
	numbers, full := make(chan int, 2*store.MaxOverrides), make(chan error, 2*store.MaxOverrides)
	var wg sync.WaitGroup
	for range store.MaxOverrides + 4 {
		wg.Go(func() {
			for {
				o, err := override(t, s, here, c.ID)
				switch {
				case err == nil:
					numbers <- o.Number
				case errors.Is(err, store.ErrBusy) || errors.Is(err, store.ErrUnavailable): // told to come again
					continue
				default:
					full <- err
				}
				return
			}
		})
	}
	wg.Wait()
	close(numbers)
	close(full)
	var got []int
	for n := range numbers {
		got = append(got, n)
	}
	slices.Sort(got)
	for i, n := range got {
		if n != i+1 {
			t.Fatalf("numbers: %v", got)
		}
	}
	if len(got) != store.MaxOverrides || len(full) != 4 {
		t.Errorf("%d overrides, %d refused", len(got), len(full))
	}
	for err := range full {
		if !errors.Is(err, store.ErrOverridesFull) {
			t.Error(err)
		}
	}
}

func TestErasingAnOrganizationTakesItsRecordsAndNoOthers(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	for _, of := range []uuid.UUID{here, there} {
		if _, err := override(t, s, of, record(t, s, of, "hold", nil).ID); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Erase(testContext(t), here); err != nil {
		t.Fatal(err)
	}
	for _, table := range []string{"check_records", "check_overrides"} {
		if left := texts(t, dsn, `SELECT organization_id::text FROM `+table); len(left) != 1 || left[0] != there.String() {
			t.Errorf("%s: left %v", table, left)
		}
	}
}
