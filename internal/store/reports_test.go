package store_test

import (
	"errors"
	"strings"
	"sync"
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

// The shares that triggers keep are held against the reports themselves, after many
// changes at the same time.
func TestSharesAreWhatTheReportsComeTo(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	var wg sync.WaitGroup
	for _, name := range []string{"Reef corner", "Pond club"} {
		of := organization(t, s, name)
		for worker := range 3 {
			wg.Go(func() {
				for i := range 20 {
					r := file(t, s, of, string(rune('a'+i%3)), string(rune('a'+worker)), float64(3*i)/2, evidence.Outcome(i%evidence.NumOutcomes))
					if i%4 == worker {
						retract(t, s, of, r.ID)
						retract(t, s, of, r.ID)
					}
				}
			})
		}
	}
	wg.Wait()
	const recount = `SELECT organization_id, least(first_species, second_species), greatest(first_species, second_species),
			count(*) FILTER (WHERE outcome = 'fine'), count(*) FILTER (WHERE outcome = 'harassed'),
			count(*) FILTER (WHERE outcome = 'injured'), count(*) FILTER (WHERE outcome = 'killed'),
			coalesce(sum(least(months, 12)) FILTER (WHERE outcome = 'fine'), 0)
		FROM reports WHERE retracted_at IS NULL GROUP BY 1, 2, 3`
	if n := texts(t, dsn, `SELECT count(*)::text FROM (`+recount+`) AS r`); n[0] != "12" {
		t.Errorf("%s shares", n)
	}
	for _, difference := range []string{`TABLE report_shares EXCEPT (` + recount + `)`, `(` + recount + `) EXCEPT TABLE report_shares`} {
		if rows := texts(t, dsn, `SELECT d::text FROM (`+difference+`) AS d`); len(rows) > 0 {
			t.Errorf("%v", rows)
		}
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
// keeper sees how many there are and no report.
func TestReportsOfOthersCannotBeRead(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	ctx := testContext(t)
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	file(t, s, here, "a", "b", 1, evidence.Fine)
	file(t, s, there, "a", "a", 1, evidence.Killed)
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
		{"commensal_service", `SELECT * FROM report_shares`, 1, ""},
		{"commensal_service", `UPDATE report_shares SET killed = 0`, 1, ""},
		{"commensal_keeper", `SELECT * FROM report_shares`, 3, ""},
		{"commensal_keeper", `UPDATE report_shares SET killed = 0`, 0, "permission denied"},
		{"commensal_keeper", `SELECT outcome FROM reports`, 0, "permission denied"},
		{"commensal_keeper", `DELETE FROM reports`, 0, "permission denied"},
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
