package store

import (
	"context"

	"commensal/internal/evidence"

	"github.com/jackc/pgx/v5"
)

// reportsChannel is where a trigger of the table of reports announces every change of it.
const reportsChannel = "commensal_reports"

// beginCounting takes on the role that may count reports and knows nothing else of them.
const beginCounting = "begin read only; set local role " + keeperRole

// ReportTallies counts the reports of all organizations that are not retracted, for every
// pair. Who reported what does not leave the database: the shares of a pair come without
// names.
func (s *Store) ReportTallies(ctx context.Context) (tallies *evidence.Tallies, err error) {
	err = s.scoped(ctx, beginCounting, func(tx pgx.Tx) (err error) {
		tallies, err = countReports(ctx, tx)
		return explain("count the reports", err)
	})
	return tallies, err
}

// countReports reads one row for each pair and organization. Their order makes the sums
// the same on every replica, to the last bit.
func countReports(ctx context.Context, tx pgx.Tx) (*evidence.Tallies, error) {
	rows, err := tx.Query(ctx, `
		SELECT least(first_species, second_species), greatest(first_species, second_species),
			count(*) FILTER (WHERE outcome = 'fine'), count(*) FILTER (WHERE outcome = 'harassed'),
			count(*) FILTER (WHERE outcome = 'injured'), count(*) FILTER (WHERE outcome = 'killed'),
			coalesce(sum(least(months, $1)) FILTER (WHERE outcome = 'fine'), 0)::float8
		FROM reports WHERE retracted_at IS NULL
		GROUP BY 1, 2, organization_id ORDER BY 1, 2, organization_id`, evidence.FullMonths)
	if err != nil {
		return nil, err
	}
	of := map[evidence.Pair]evidence.Tally{}
	var pair evidence.Pair
	var share evidence.Share
	c := &share.Counts
	_, err = pgx.ForEachRow(rows, []any{&pair.First, &pair.Second,
		&c[evidence.Fine], &c[evidence.Harassed], &c[evidence.Injured], &c[evidence.Killed], &share.FineMonths}, func() error {
		tally := of[pair]
		tally.Add(share)
		of[pair] = tally
		return nil
	})
	return evidence.NewTallies(of), err
}
