package store

import (
	"context"

	"commensal/internal/evidence"

	"github.com/jackc/pgx/v5"
)

// reportsChannel is where a trigger announces every change of what reports come to.
const reportsChannel = "commensal_reports"

// beginCounting takes on the role that sees how many reports there are and nothing else
// of them.
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

// countReports adds up the shares of organizations. Their order makes the sums the same on
// every replica, to the last bit.
func countReports(ctx context.Context, tx pgx.Tx) (*evidence.Tallies, error) {
	rows, err := tx.Query(ctx, `
		SELECT first_species, second_species, fine, harassed, injured, killed, fine_months::float8
		FROM report_shares WHERE fine + harassed + injured + killed > 0
		ORDER BY first_species, second_species, organization_id`)
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
