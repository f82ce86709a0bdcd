package store_test

import (
	"errors"
	"slices"
	"sync"
	"testing"
	"time"

	"commensal/internal/store"

	"github.com/google/uuid"
)

// note notes an outcome; "" takes it back.
func note(tb testing.TB, s *store.Store, of, check uuid.UUID, match store.Match, outcome string) (c store.CheckRecord, err error) {
	tb.Helper()
	err = s.Write(testContext(tb), of, func(tx *store.Tx) (err error) {
		c, err = tx.NoteOutcome(tb.Context(), check, match, "cccccccccccccccc", func(store.CheckOutcome) (now store.CheckOutcome, err error) {
			if outcome != "" {
				now.Outcome = &outcome
			}
			return now, nil
		})
		return err
	})
	return c, err
}

func TestAnOutcomeStandsBesideTheRecordAndMayChange(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	made := record(t, s, here, "hold", nil)
	versions := []int64{made.Version()}
	for _, outcome := range []string{"sold", "returned", "", "not_sold"} {
		c, err := note(t, s, here, made.ID, func(version int64) bool { return version == versions[len(versions)-1] }, outcome)
		if err != nil {
			t.Fatal(err)
		}
		if got := c.Noted; got == nil || got.Key != "cccccccccccccccc" || got.NotedAt.IsZero() || (outcome == "") != (got.Outcome == nil) || got.Outcome != nil && *got.Outcome != outcome {
			t.Errorf("%q: %+v", outcome, got)
		}
		versions = append(versions, c.Version())
	}
	if _, err := override(t, s, here, made.ID); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(versions, []int64{1, 2, 3, 4, 5}) {
		t.Errorf("versions %v", versions)
	}
	if _, err := note(t, s, here, made.ID, func(version int64) bool { return version == 5 }, "sold"); !errors.Is(err, store.ErrStale) {
		t.Errorf("noted on top of a state before the override: %v", err)
	}
	if _, err := note(t, s, here, made.ID, anyVersion, "given away"); err == nil {
		t.Error("an outcome that nobody knows is stored")
	}
	for name, id := range map[string]uuid.UUID{"another's": made.ID, "nobody's": uuid.New()} {
		if _, err := note(t, s, there, id, anyVersion, "sold"); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := attempt(t, dsn, "commensal_service", there.String(), `UPDATE check_outcomes SET outcome = 'sold'`); err != nil {
		t.Error(err)
	}
	if left := texts(t, dsn, `SELECT outcome FROM check_outcomes`); !slices.Equal(left, []string{"not_sold"}) {
		t.Errorf("changed by a stranger: %v", left)
	}
	if err := s.Erase(testContext(t), here); err != nil {
		t.Fatal(err)
	}
	if left := texts(t, dsn, `SELECT check_id::text FROM check_outcomes`); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestRecordsAreListedByWhatBecameOfThem(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	here := organization(t, s, "Reef corner")
	a, b, c := record(t, s, here, "hold", nil), record(t, s, here, "proceed", nil), record(t, s, here, "hold", nil)
	if _, err := override(t, s, here, a.ID); err != nil {
		t.Fatal(err)
	}
	for check, outcomes := range map[uuid.UUID][]string{a.ID: {"sold", "returned"}, b.ID: {"sold"}, c.ID: {"sold", ""}} {
		for _, outcome := range outcomes {
			if _, err := note(t, s, here, check, anyVersion, outcome); err != nil {
				t.Fatal(err)
			}
		}
	}
	yes, no, sold, returned, notSold, none, hold := true, false, "sold", "returned", "not_sold", store.NoOutcome, "hold"
	for name, test := range map[string]struct {
		filter store.CheckFilter
		want   []uuid.UUID
	}{
		"let pass":              {store.CheckFilter{Overridden: &yes}, []uuid.UUID{a.ID}},
		"not let pass":          {store.CheckFilter{Overridden: &no}, []uuid.UUID{c.ID, b.ID}},
		"holds not let pass":    {store.CheckFilter{Overridden: &no, Decision: &hold}, []uuid.UUID{c.ID}},
		"sold":                  {store.CheckFilter{Outcome: &sold}, []uuid.UUID{b.ID}},
		"returned":              {store.CheckFilter{Outcome: &returned}, []uuid.UUID{a.ID}},
		"let pass and returned": {store.CheckFilter{Outcome: &returned, Overridden: &yes}, []uuid.UUID{a.ID}},
		"let pass and sold":     {store.CheckFilter{Outcome: &sold, Overridden: &yes}, nil},
		"not sold":              {store.CheckFilter{Outcome: &notSold}, nil},
		"open":                  {store.CheckFilter{Outcome: &none}, []uuid.UUID{c.ID}},
	} {
		var listed, exported []uuid.UUID
		write(t, s, here, func(tx *store.Tx) error {
			list, err := tx.Checks(t.Context(), test.filter, time.Now().Add(time.Hour), uuid.Max, 10)
			for _, c := range list {
				listed = append(listed, c.ID)
			}
			return err
		})
		err := s.ExportChecks(testContext(t), here, test.filter, func(c store.CheckRecord) error {
			exported = append(exported, c.ID)
			return nil
		})
		slices.Reverse(exported)
		if err != nil || !slices.Equal(listed, test.want) || !slices.Equal(exported, test.want) {
			t.Errorf("%s: %v listed, %v exported, want %v (%v)", name, listed, exported, test.want, err)
		}
	}
}

// Two desks record the same sale: one of them learns of the other's record.
func TestAClaimedReferenceIsOnOneRecordWhateverComesAtTheSameTime(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	ref := "sale 1204"
	record(t, s, there, "proceed", &ref) // somebody else's number
	var made uuid.UUID
	var mu sync.Mutex
	var told []uuid.UUID
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for {
				err := s.Write(testContext(t), here, func(tx *store.Tx) error {
					if err := tx.ClaimRef(t.Context(), ref); err != nil {
						return err
					}
					c, err := tx.RecordCheck(t.Context(), store.CheckRecord{Key: "k", ExternalRef: &ref, Decision: "proceed", Input: []byte(`{}`), Answer: []byte(`{}`)})
					mu.Lock()
					defer mu.Unlock()
					made = c.ID
					return err
				})
				var taken *store.RefTakenError
				switch {
				case errors.Is(err, store.ErrBusy) || errors.Is(err, store.ErrUnavailable): // told to come again
					continue
				case errors.As(err, &taken):
					mu.Lock()
					told = append(told, taken.Record)
					mu.Unlock()
				case err != nil:
					t.Error(err)
				}
				return
			}
		})
	}
	wg.Wait()
	if len(told) != 7 {
		t.Errorf("%d of 8 were told of another record", len(told))
	}
	for _, id := range told {
		if id != made {
			t.Errorf("told of %v, made %v", id, made)
		}
	}
}
