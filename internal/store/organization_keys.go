package store

import (
	"context"
	"errors"
	"time"

	"commensal/internal/auth"

	"github.com/jackc/pgx/v5"
)

const keyColumns = `id, organization_id, secret_hash, label, scopes, created_at, expires_at, revoked_at, last_used_at`

func scanKey(row pgx.CollectableRow) (k auth.Key, err error) {
	var hash []byte
	var scopes []string
	var expires, revoked, used *time.Time
	err = row.Scan(&k.ID, &k.Organization, &hash, &k.Label, &scopes, &k.CreatedAt, &expires, &revoked, &used)
	copy(k.Hash[:], hash)
	for _, s := range scopes {
		k.Scopes = append(k.Scopes, auth.Scope(s))
	}
	k.ExpiresAt, k.RevokedAt, k.LastUsedAt = timeOf(expires), timeOf(revoked), timeOf(used)
	return k, err
}

// scanKeyAndRegion is scanKey with the region of the key's organization behind it.
func scanKeyAndRegion(row pgx.CollectableRow) (k auth.Key, err error) {
	var region string
	k, err = scanKey(withRegion{row, &region})
	k.Region = region
	return k, err
}

// withRegion is a row whose last column is a region.
type withRegion struct {
	pgx.CollectableRow
	region *string
}

// Scan reads the row into the places of its other columns.
func (r withRegion) Scan(to ...any) error { return r.CollectableRow.Scan(append(to, r.region)...) }

// timeOf is the zero time for null.
func timeOf(t *time.Time) (at time.Time) {
	if t != nil {
		at = *t
	}
	return at
}

// orNull is null for the zero time.
func orNull(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}

// FindKey returns the key of any organization with an id, or [auth.ErrUnknown].
func (s *Store) FindKey(ctx context.Context, id string) (k auth.Key, err error) {
	err = s.keeper(ctx, func(tx pgx.Tx) error {
		rows, err := tx.Query(ctx, `
			SELECT `+keyColumns+`, coalesce((SELECT region FROM organizations o WHERE o.id = organization_id), '')
			FROM keys WHERE id = $1`, id)
		if err != nil {
			return explain("find the key", err)
		}
		k, err = pgx.CollectExactlyOneRow(rows, scanKeyAndRegion)
		if errors.Is(err, pgx.ErrNoRows) {
			return auth.ErrUnknown
		}
		return explain("find the key", err)
	})
	return k, err
}

// TouchKeys notes when keys were last used. A time never goes back.
func (s *Store) TouchKeys(ctx context.Context, used map[string]time.Time) error {
	ids, times := make([]string, 0, len(used)), make([]time.Time, 0, len(used))
	for id, at := range used {
		ids, times = append(ids, id), append(times, at)
	}
	return s.keeper(ctx, func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `
			UPDATE keys SET last_used_at = greatest(keys.last_used_at, used.at)
			FROM unnest($1::text[], $2::timestamptz[]) AS used (id, at)
			WHERE keys.id = used.id`, ids, times)
		return explain("note the use of keys", err)
	})
}

// CreateKey stores a key of the organization: ID, Hash, Label, Scopes and ExpiresAt of k.
// The organization must exist.
func (t *Tx) CreateKey(ctx context.Context, k auth.Key) (auth.Key, error) {
	rows, err := t.tx.Query(ctx, `
		INSERT INTO keys (id, organization_id, secret_hash, label, scopes, expires_at)
		VALUES ($1, $2, $3, $4, $5, $6)
		RETURNING `+keyColumns, k.ID, t.organization, k.Hash[:], k.Label, k.Scopes, orNull(k.ExpiresAt))
	if err != nil {
		return auth.Key{}, explain("create the key", err)
	}
	k, err = pgx.CollectExactlyOneRow(rows, scanKey)
	return k, explain("create the key", err)
}

// Keys lists the organization's keys in order of id, from behind the id after, at most
// limit of them.
func (t *Tx) Keys(ctx context.Context, after string, limit int) ([]auth.Key, error) {
	rows, err := t.tx.Query(ctx, `
		SELECT `+keyColumns+` FROM keys
		WHERE organization_id = $1 AND id > $2 ORDER BY id LIMIT $3`, t.organization, after, limit)
	if err != nil {
		return nil, explain("list the keys", err)
	}
	list, err := pgx.CollectRows(rows, scanKey)
	return list, explain("list the keys", err)
}

// RevokeKey makes a key useless from now on. One that is revoked already stays as it is.
func (t *Tx) RevokeKey(ctx context.Context, id string) error {
	tag, err := t.tx.Exec(ctx, `
		UPDATE keys SET revoked_at = coalesce(revoked_at, now())
		WHERE organization_id = $1 AND id = $2`, t.organization, id)
	if err == nil && tag.RowsAffected() == 0 {
		err = pgx.ErrNoRows
	}
	return explain("revoke the key", err)
}
