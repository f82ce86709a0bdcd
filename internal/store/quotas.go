package store

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// configurationLimit is the SQLSTATE with which a trigger refuses what is beyond a quota.
const configurationLimit = "53400"

// QuotaError says that an organization has stored as much of a kind as it may. Nothing was
// written.
type QuotaError struct {
	Kind   string // one of tanks, residents, readings, recorded_bytes, reports, articles
	Detail string // what there would be, of what there may be
}

func (e *QuotaError) Error() string {
	return fmt.Sprintf("store: the quota of %s is used up: %s", e.Kind, e.Detail)
}

// quotaError is the refusal behind a driver's error, if it is one.
func quotaError(err error) error {
	var pgErr *pgconn.PgError
	if errors.As(err, &pgErr) && pgErr.Code == configurationLimit && pgErr.Where != "" {
		return &QuotaError{Kind: pgErr.Message, Detail: pgErr.Detail}
	}
	return nil
}

// Usage is how much of a kind an organization has stored, and how much it may. Used is exact
// at the moment it is read; Quota is held to within what is written at the same moment.
type Usage struct {
	Kind        string
	Used, Quota int64
	Usual       bool // the quota is that of every organization
}

// Usage tells what the organization has stored, in order of kind.
func (t *Tx) Usage(ctx context.Context) ([]Usage, error) {
	return many(ctx, t, "read the usage", pgx.RowToStructByPos[Usage], `
		SELECT q.kind, coalesce(sum(u.used), 0)::bigint, coalesce(own.most, q.usual), own.most IS NULL
		FROM quotas q
		LEFT JOIN organization_usage u ON u.kind = q.kind AND u.organization_id = $1
		LEFT JOIN organization_quotas own ON own.kind = q.kind AND own.organization_id = $1
		GROUP BY q.kind, own.most, q.usual ORDER BY q.kind`, t.organization)
}

// SetQuotas gives the organization quotas of its own, in place of all that it had; kinds
// that are not named have the usual one. One below what is stored takes nothing away, and
// lets nothing be added. It is an admin's right, which the caller has checked.
func (t *Tx) SetQuotas(ctx context.Context, most map[string]int64) error {
	if err := t.HasOrganization(ctx); err != nil {
		return err
	}
	kinds := slices.AppendSeq([]string{}, maps.Keys(most))
	slices.Sort(kinds) // always in one order, so that two at once do not embrace
	values := make([]int64, len(kinds))
	for i, kind := range kinds {
		values[i] = most[kind]
	}
	return t.asKeeper(ctx, func() error {
		_, err := t.tx.Exec(ctx, `DELETE FROM organization_quotas WHERE organization_id = $1 AND kind <> ALL ($2)`, t.organization, kinds)
		if err == nil {
			_, err = t.tx.Exec(ctx, `
				INSERT INTO organization_quotas (organization_id, kind, most)
				SELECT $1, own.kind, own.most FROM unnest($2::text[], $3::bigint[]) AS own (kind, most)
				ON CONFLICT (organization_id, kind) DO UPDATE SET most = excluded.most`, t.organization, kinds, values)
		}
		return explain("set the quotas", err)
	})
}
