package store_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"commensal/internal/evidence"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// file files a report of two species.
func file(tb testing.TB, s *store.Store, of uuid.UUID, first, second string, months float64, outcome evidence.Outcome) store.Report {
	tb.Helper()
	var filed store.Report
	write(tb, s, of, func(tx *store.Tx) (err error) {
		r := store.Report{Fish: [2]store.ReportedFish{{Species: first}, {Species: second}}, Months: months, Outcome: outcome}
		filed, err = tx.CreateReport(tb.Context(), r)
		return err
	})
	return filed
}

func retract(tb testing.TB, s *store.Store, of, id uuid.UUID) {
	tb.Helper()
	write(tb, s, of, func(tx *store.Tx) error { return tx.RetractReport(tb.Context(), id) })
}

func tallies(tb testing.TB, s *store.Store) *evidence.Tallies {
	tb.Helper()
	t, err := s.ReportTallies(testContext(tb))
	if err != nil {
		tb.Fatal(err)
	}
	return t
}

var ab = evidence.PairOf("a", "b")

func TestReportsOfAllOrganizationsAreCountedTogether(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	if tallies(t, s).Len() != 0 {
		t.Error("there are reports already")
	}
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	file(t, s, here, "a", "b", 3, evidence.Fine)
	file(t, s, here, "b", "a", 40, evidence.Fine) // a year is as good as any longer time
	gone := file(t, s, here, "a", "b", 1, evidence.Killed)
	file(t, s, there, "a", "b", 0.5, evidence.Harassed)
	file(t, s, there, "a", "a", 6, evidence.Injured)
	retract(t, s, here, gone.ID)
	got := tallies(t, s)
	want := evidence.Tally{Counts: [evidence.NumOutcomes]int{2, 1, 0, 0}, Organizations: 2, Good: 1.25, Trouble: 1}
	if got.Of(ab) != want || got.Len() != 2 || got.Of(evidence.PairOf("a", "a")).Counts[evidence.Injured] != 1 {
		t.Errorf("%+v, want %+v; %d pairs", got.Of(ab), want, got.Len())
	}
	for range 2 * int(evidence.MaxShare) {
		file(t, s, there, "a", "b", 1, evidence.Killed)
	}
	if tally := tallies(t, s).Of(ab); tally.Trouble != evidence.MaxShare || tally.Reports() != 3+2*int(evidence.MaxShare) {
		t.Errorf("one organization's many: %+v", tally)
	}
	if err := s.Erase(testContext(t), there); err != nil {
		t.Fatal(err)
	}
	if tally := tallies(t, s).Of(ab); tally.Organizations != 1 || tally.Trouble != 0 {
		t.Errorf("after an erasure: %+v", tally)
	}
}

func TestAReportIsAsItWasFiled(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	count, length, side := 12, 3.25, 60.0
	r := store.Report{
		Fish:   [2]store.ReportedFish{{Species: "z", Count: &count}, {Species: "a", LengthCM: &length}},
		Months: 7.25, Outcome: evidence.Injured, TankCM: [3]*float64{&side, &side, &side},
		ObservedOn: time.Date(2024, 2, 29, 0, 0, 0, 0, time.UTC),
	}
	var filed store.Report
	write(t, s, here, func(tx *store.Tx) (err error) { filed, err = tx.CreateReport(t.Context(), r); return err })
	if filed.Fish[0].Species != "z" || *filed.Fish[0].Count != 12 || filed.Fish[1].Count != nil || *filed.Fish[1].LengthCM != 3.25 || filed.Months != 7.3 ||
		filed.Outcome != evidence.Injured || *filed.TankCM[2] != 60 || !filed.ObservedOn.Equal(r.ObservedOn) || !filed.RetractedAt.IsZero() {
		t.Errorf("%+v", filed)
	}
	retract(t, s, here, filed.ID)
	ctx := testContext(t)
	var first store.Report
	err := s.Read(ctx, here, func(tx *store.Tx) (err error) { first, err = tx.Report(ctx, filed.ID); return err })
	if err != nil || first.RetractedAt.IsZero() {
		t.Fatalf("%+v, %v", first, err)
	}
	retract(t, s, here, filed.ID)
	write(t, s, here, func(tx *store.Tx) error {
		list, err := tx.Reports(ctx, uuid.Nil, 10)
		if err == nil && (len(list) != 1 || !list[0].RetractedAt.Equal(first.RetractedAt)) {
			t.Errorf("retracted again: %+v", list)
		}
		return err
	})
	for what, do := range map[string]func(tx *store.Tx) error{
		"read":    func(tx *store.Tx) error { _, err := tx.Report(ctx, filed.ID); return err },
		"retract": func(tx *store.Tx) error { return tx.RetractReport(ctx, filed.ID) },
	} {
		if err := s.Write(ctx, there, do); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("%s another's: %v", what, err)
		}
	}
}

// As the service nobody reads or changes another's report, whatever is written; the
// keeper counts and learns neither ids nor circumstances.
func TestReportsOfOthersCannotBeRead(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	ctx := testContext(t)
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	file(t, s, here, "a", "b", 1, evidence.Fine)
	theirs := file(t, s, there, "a", "b", 1, evidence.Killed)
	retract(t, s, there, file(t, s, there, "a", "b", 1, evidence.Fine).ID)
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	for _, c := range []struct {
		role, sql string
		rows      int64
		refused   string
	}{
		{"commensal_service", `SELECT * FROM reports`, 1, ""},
		{"commensal_service", `SELECT outcome FROM reports WHERE id = '` + theirs.ID.String() + `'`, 0, ""},
		{"commensal_service", `UPDATE reports SET retracted_at = now()`, 1, ""},
		{"commensal_service", `UPDATE reports SET outcome = 'fine'`, 0, "permission denied"},
		{"commensal_service", `DELETE FROM reports`, 1, ""},
		{"commensal_service", `INSERT INTO reports (organization_id, id, first_species, second_species, months, outcome)
			VALUES ('` + there.String() + `', gen_random_uuid(), 'a', 'b', 1, 'fine')`, 0, "row-level security"},
		{"commensal_keeper", `SELECT outcome FROM reports`, 2, ""}, // what counts
		{"commensal_keeper", `SELECT id FROM reports`, 0, "permission denied"},
		{"commensal_keeper", `SELECT observed_on, tank_length_cm, created_at FROM reports`, 0, "permission denied"},
		{"commensal_keeper", `DELETE FROM reports`, 0, "permission denied"},
		{"commensal_keeper", `UPDATE reports SET outcome = 'fine'`, 0, "permission denied"},
	} {
		tag, err := conn.Exec(ctx, "BEGIN; SET LOCAL ROLE "+c.role+"; SET LOCAL app.organization = '"+here.String()+"'")
		if err == nil {
			tag, err = conn.Exec(ctx, c.sql)
		}
		if c.refused == "" && (err != nil || tag.RowsAffected() != c.rows) || c.refused != "" && (err == nil || !strings.Contains(err.Error(), c.refused)) {
			t.Errorf("%s: %s: %d rows, %v; want %d rows, %q", c.role, c.sql, tag.RowsAffected(), err, c.rows, c.refused)
		}
		if _, err := conn.Exec(ctx, "ROLLBACK"); err != nil {
			t.Fatal(err)
		}
	}
}

func TestTheTableRefusesWhatCannotBe(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	here := organization(t, s, "Reef corner")
	none, side := 0, 60.0
	for constraint, r := range map[string]store.Report{
		"reports_months_possible": {Months: -1},
		"reports_counts_possible": {Fish: [2]store.ReportedFish{{Count: &none}}},
		"reports_tank_whole":      {TankCM: [3]*float64{&side}},
	} {
		var refused *store.ConstraintError
		err := s.Write(testContext(t), here, func(tx *store.Tx) error { _, err := tx.CreateReport(t.Context(), r); return err })
		if !errors.As(err, &refused) || refused.Constraint != constraint {
			t.Errorf("%s: %v", constraint, err)
		}
	}
}

// watchReports runs WatchReports and returns what it tells.
func watchReports(t *testing.T, s *store.Store) <-chan *evidence.Tallies {
	t.Helper()
	told := make(chan *evidence.Tallies, 64)
	runWatch(t, func(ctx context.Context) error {
		return s.WatchReports(ctx, func(tallies *evidence.Tallies) { told <- tallies })
	})
	return told
}

// expectReports waits for the news of so many reports of a and b. What is told before may
// be fewer.
func expectReports(t *testing.T, told <-chan *evidence.Tallies, want int) {
	t.Helper()
	for end := time.After(time.Minute); ; {
		select {
		case tallies := <-told:
			if tally := tallies.Of(ab); tally.Reports() == want {
				return
			}
		case <-end:
			t.Fatalf("not told of %d reports", want)
		}
	}
}

func TestEveryChangeOfReportsIsTold(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{PollInterval: time.Hour})
	here := organization(t, s, "Reef corner")
	told := watchReports(t, s)
	expectReports(t, told, 0)
	first := file(t, s, here, "a", "b", 1, evidence.Fine)
	expectReports(t, told, 1)
	retract(t, s, here, first.ID)
	expectReports(t, told, 0)
	retract(t, s, here, first.ID) // nothing new
	execute(t, dsn, `SELECT pg_notify('commensal_reports', 'rubbish')`)
	file(t, s, here, "a", "b", 1, evidence.Fine)
	expectReports(t, told, 1)
	if err := s.Erase(testContext(t), here); err != nil {
		t.Fatal(err)
	}
	expectReports(t, told, 0)
	if len(told) != 0 {
		t.Errorf("told %d times of nothing new", len(told))
	}
}

func TestAChangeThatNobodyAnnouncedIsFound(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{PollInterval: 20 * time.Millisecond})
	here := organization(t, s, "Reef corner")
	told := watchReports(t, s)
	expectReports(t, told, 0)
	execute(t, dsn, `ALTER TABLE reports DISABLE TRIGGER USER`)
	file(t, s, here, "a", "b", 1, evidence.Fine)
	expectReports(t, told, 1)
}
