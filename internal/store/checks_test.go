package store_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// record stores a check of a decision.
func record(tb testing.TB, s *store.Store, of uuid.UUID, decision string, ref *string) (c store.CheckRecord) {
	tb.Helper()
	write(tb, s, of, func(tx *store.Tx) (err error) {
		c, err = tx.RecordCheck(tb.Context(), store.CheckRecord{Key: "aaaaaaaaaaaaaaaa", ExternalRef: ref, Decision: decision, Summary: "Because.",
			Revision: 7, Model: "m1", Program: "p1", Input: []byte(`{"b": 1.50, "a": []}`), Answer: []byte(`{"decision":"` + decision + `"}`)})
		return err
	})
	return c
}

func override(tb testing.TB, s *store.Store, of, check uuid.UUID) (o store.Override, err error) {
	tb.Helper()
	err = s.Write(testContext(tb), of, func(tx *store.Tx) (err error) {
		staff := "desk 2"
		o, err = tx.AddOverride(tb.Context(), check, store.Override{Key: "bbbbbbbbbbbbbbbb", Reason: "The buyer has a second tank.", StaffRef: &staff})
		return err
	})
	return o, err
}

func TestAnOverriddenHoldIsReadAsItWasDecided(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	here := organization(t, s, "Reef corner")
	ref := "ticket 12"
	made := record(t, s, here, "hold", &ref)
	for i := range 2 {
		if o, err := override(t, s, here, made.ID); err != nil || o.Number != i+1 || *o.StaffRef != "desk 2" {
			t.Fatalf("%+v, %v", o, err)
		}
	}
	write(t, s, here, func(tx *store.Tx) error {
		c, err := tx.Check(t.Context(), made.ID)
		if err != nil || c.DecidedAt != made.DecidedAt || *c.ExternalRef != ref || c.Tank != nil || c.Decision != "hold" || c.Summary != "Because." ||
			c.Revision != 7 || c.Model != "m1" || c.Program != "p1" || string(c.Input) != `{"b": 1.50, "a": []}` || string(c.Answer) != `{"decision":"hold"}` {
			t.Errorf("%+v, %v", c, err)
		}
		if len(c.Overrides) != 2 || c.Overrides[1].Number != 2 || c.Overrides[1].Key != "bbbbbbbbbbbbbbbb" ||
			c.Overrides[1].Reason != "The buyer has a second tank." || c.Overrides[1].MadeAt.Before(c.Overrides[0].MadeAt) {
			t.Errorf("overrides: %+v", c.Overrides)
		}
		return nil
	})
	if _, err := override(t, s, here, record(t, s, here, "advise", nil).ID); !errors.Is(err, store.ErrNotOnHold) {
		t.Errorf("an advise is overridden: %v", err)
	}
}

func TestRecordsAreListedByFilterNewestFirst(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	here := organization(t, s, "Reef corner")
	ref, hold := "r", "hold"
	a, b, c := record(t, s, here, "hold", nil), record(t, s, here, "proceed", &ref), record(t, s, here, "hold", &ref)
	for name, test := range map[string]struct {
		filter store.CheckFilter
		want   []uuid.UUID
	}{
		"everything":     {store.CheckFilter{}, []uuid.UUID{c.ID, b.ID, a.ID}},
		"holds":          {store.CheckFilter{Decision: &hold}, []uuid.UUID{c.ID, a.ID}},
		"a reference":    {store.CheckFilter{ExternalRef: &ref}, []uuid.UUID{c.ID, b.ID}},
		"since, with it": {store.CheckFilter{Since: &b.DecidedAt}, []uuid.UUID{c.ID, b.ID}},
		"until, without": {store.CheckFilter{Until: &b.DecidedAt}, []uuid.UUID{a.ID}},
		"holds since":    {store.CheckFilter{Decision: &hold, Since: &b.DecidedAt}, []uuid.UUID{c.ID}},
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
	write(t, s, here, func(tx *store.Tx) error {
		list, err := tx.Checks(t.Context(), store.CheckFilter{}, c.DecidedAt, c.ID, 1)
		if err != nil || len(list) != 1 || list[0].ID != b.ID || list[0].Answer != nil {
			t.Errorf("behind the newest: %+v, %v", list, err)
		}
		return nil
	})
}

// Nobody can change what was decided: neither the service, whatever is written, nor the owner
// of the tables; and only the keeper can delete, within the organization that is named.
func TestRecordsAreFinalInTheDatabase(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	c := record(t, s, here, "hold", nil)
	if _, err := override(t, s, here, c.ID); err != nil {
		t.Fatal(err)
	}
	proceed := record(t, s, here, "proceed", nil)
	for _, test := range []struct{ role, organization, sql, refused string }{
		{"commensal_service", here.String(), `UPDATE check_records SET decision = 'proceed'`, "permission denied"},
		{"commensal_service", here.String(), `DELETE FROM check_records`, "permission denied"},
		{"commensal_service", here.String(), `TRUNCATE check_records CASCADE`, "permission denied"},
		{"commensal_service", here.String(), `UPDATE check_overrides SET reason = 'another'`, "permission denied"},
		{"commensal_service", here.String(), `DELETE FROM check_overrides`, "permission denied"},
		{"commensal_service", here.String(), `ALTER TABLE check_records DISABLE TRIGGER ALL`, "must be owner"},
		{"commensal_service", here.String(), `INSERT INTO check_overrides (organization_id, check_id, number, key_id, reason)
			VALUES ('` + here.String() + `', '` + proceed.ID.String() + `', 1, 'k', 'why not')`, "check_overrides_record_is_on_hold"},
		{"commensal_service", there.String(), `INSERT INTO check_overrides (organization_id, check_id, number, key_id, reason)
			VALUES ('` + here.String() + `', '` + c.ID.String() + `', 2, 'k', 'why not')`, "row-level security"},
		{"commensal_keeper", here.String(), `UPDATE check_records SET decision = 'proceed'`, "permission denied"},
		{"commensal_keeper", here.String(), `SELECT answer FROM check_records`, "permission denied"},
		{"", "", `UPDATE check_records SET decision = 'proceed'`, "rows of check_records are final"},
		{"", "", `UPDATE check_overrides SET reason = 'another'`, "rows of check_overrides are final"},
	} {
		if err := attempt(t, dsn, test.role, test.organization, test.sql); err == nil || !strings.Contains(err.Error(), test.refused) {
			t.Errorf("%s: %s: %v, want %q", test.role, test.sql, err, test.refused)
		}
	}
	for _, organization := range []string{"", there.String()} {
		if err := attempt(t, dsn, "commensal_keeper", organization, `DELETE FROM check_overrides`); err != nil {
			t.Error(err)
		}
	}
	if left := texts(t, dsn, `SELECT reason FROM check_overrides`); len(left) != 1 {
		t.Errorf("the keeper deletes what is not the organization's: %v", left)
	}
}

// attempt runs SQL as a role for an organization, and commits it.
func attempt(tb testing.TB, dsn, role, organization, sql string) error {
	tb.Helper()
	ctx := testContext(tb)
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		tb.Fatal(err)
	}
	defer conn.Close(ctx)
	return pgx.BeginFunc(ctx, conn, func(tx pgx.Tx) error {
		if role != "" {
			if _, err := tx.Exec(ctx, "SET LOCAL ROLE "+role+"; SET LOCAL app.organization = '"+organization+"'"); err != nil {
				tb.Fatal(err)
			}
		}
		_, err := tx.Exec(ctx, sql)
		return err
	})
}

func TestRecordsOfOthersDoNotExist(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	theirs := record(t, s, there, "hold", nil)
	for name, id := range map[string]uuid.UUID{"another's": theirs.ID, "nobody's": uuid.New()} {
		err := s.Read(testContext(t), here, func(tx *store.Tx) error {
			_, err := tx.Check(t.Context(), id)
			return err
		})
		if !errors.Is(err, store.ErrNotFound) {
			t.Errorf("%s is read: %v", name, err)
		}
		if _, err := override(t, s, here, id); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("%s is overridden: %v", name, err)
		}
	}
	err := s.ExportChecks(testContext(t), here, store.CheckFilter{}, func(c store.CheckRecord) error { return fmt.Errorf("exported %v", c.ID) })
	if err != nil {
		t.Error(err)
	}
}

func TestAnExportIsOfOneMoment(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	here := organization(t, s, "Reef corner")
	const many = 50
	for range many {
		record(t, s, here, "hold", nil)
	}
	n := 0
	err := s.ExportChecks(testContext(t), here, store.CheckFilter{}, func(c store.CheckRecord) error {
		n++
		if n == 1 { // while it is under way
			record(t, s, here, "hold", nil)
			if _, err := override(t, s, here, c.ID); err != nil {
				return err
			}
		}
		if len(c.Overrides) != 0 {
			t.Errorf("record %d has an override of after the beginning", n)
		}
		return nil
	})
	if err != nil || n != many {
		t.Errorf("%d records of %d, %v", n, many, err)
	}
	enough := errors.New("enough")
	for range 20 { // the pool is not used up by exports that end early
		if err := s.ExportChecks(testContext(t), here, store.CheckFilter{}, func(store.CheckRecord) error { return enough }); !errors.Is(err, enough) {
			t.Fatal(err)
		}
	}
	ctx, cancel := context.WithCancel(testContext(t))
	err = s.ExportChecks(ctx, here, store.CheckFilter{}, func(store.CheckRecord) error { cancel(); return nil })
	if err == nil {
		t.Error("an export whose reader is gone goes on to its end")
	}
}
