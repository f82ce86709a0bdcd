package store

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// ErrStale says that a thing has changed since the caller read it. Nothing was written.
var ErrStale = errors.New("store: it has changed since")

// ExternalRefTaken is the constraint that a second tank with an organization's own number
// breaks.
const ExternalRefTaken = "tanks_external_ref_unique"

// Tank is a stored tank. Version goes up with every change of it, but not with those of
// its residents and readings.
type Tank struct {
	ID                 uuid.UUID
	Label, ExternalRef *string
	Description        json.RawMessage // TankInput of the contract
	Wishes             json.RawMessage // Wishes of the contract; nil for none
	Version            int64
	Revision           int64 // goes up with every change of the tank or of its residents
	CreatedAt          time.Time
	UpdatedAt          time.Time
}

// Match says whether a version is the one that a caller means to change.
type Match func(version int64) bool

const tankColumns = `id, label, external_ref, description, wishes, version, revision, created_at, updated_at`

func scanTank(row pgx.CollectableRow) (t Tank, err error) {
	err = row.Scan(&t.ID, &t.Label, &t.ExternalRef, &t.Description, &t.Wishes, &t.Version, &t.Revision, &t.CreatedAt, &t.UpdatedAt)
	return t, err
}

// one runs a query for exactly one row; none is [ErrNotFound].
func one[T any](ctx context.Context, t *Tx, doing string, scan pgx.RowToFunc[T], sql string, args ...any) (v T, err error) {
	if !t.tx.begun() {
		batch := &pgx.Batch{}
		queueOne(batch, &v, scan, sql, args...)
		return v, explain(doing, t.tx.run(ctx, batch))
	}
	rows, err := t.tx.Query(ctx, sql, args...)
	if err != nil {
		return v, explain(doing, err)
	}
	v, err = pgx.CollectExactlyOneRow(rows, scan)
	return v, explain(doing, err)
}

// many runs a query for any number of rows.
func many[T any](ctx context.Context, t *Tx, doing string, scan pgx.RowToFunc[T], sql string, args ...any) (list []T, err error) {
	if !t.tx.begun() {
		batch := &pgx.Batch{}
		queueMany(batch, &list, scan, sql, args...)
		return list, explain(doing, t.tx.run(ctx, batch))
	}
	rows, err := t.tx.Query(ctx, sql, args...)
	if err != nil {
		return nil, explain(doing, err)
	}
	list, err = pgx.CollectRows(rows, scan)
	return list, explain(doing, err)
}

// CreateTank stores a tank, Label, ExternalRef, Description and Wishes of it, with its first
// residents. It takes one round trip.
func (t *Tx) CreateTank(ctx context.Context, k Tank, residents []Resident) (Tank, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return Tank{}, err
	}
	batch := &pgx.Batch{}
	queueOne(batch, &k, scanTank, `
		INSERT INTO tanks (organization_id, id, label, external_ref, description, wishes)
		VALUES ($1, $2, $3, $4, $5, $6)
		RETURNING `+tankColumns, t.organization, id, k.Label, k.ExternalRef, k.Description, k.Wishes)
	if len(residents) > 0 {
		args, err := t.newResidents(id, residents)
		if err != nil {
			return Tank{}, err
		}
		batch.Queue(insertResidents, args...)
	}
	return k, explain("create the tank", t.tx.run(ctx, batch))
}

const tankByID = `SELECT ` + tankColumns + ` FROM tanks WHERE organization_id = $1 AND id = $2`

// Tank returns a tank of an organization, or [ErrNotFound]. It takes one round trip.
func (s *Store) Tank(ctx context.Context, organization, id uuid.UUID) (k Tank, err error) {
	err = s.ask(ctx, "read the tank", organization, func(batch *pgx.Batch) {
		queueOne(batch, &k, scanTank, tankByID, organization, id)
	})
	return k, err
}

// hasTank returns [ErrNotFound] for a tank that does not exist.
func (t *Tx) hasTank(ctx context.Context, id uuid.UUID) error {
	_, err := one(ctx, t, "find the tank", scanTank, tankByID, t.organization, id)
	return err
}

// Tanks lists tanks in the order they were made, from behind the id after, at most limit
// of them.
func (t *Tx) Tanks(ctx context.Context, after uuid.UUID, limit int) ([]Tank, error) {
	return many(ctx, t, "list the tanks", scanTank, `
		SELECT `+tankColumns+` FROM tanks
		WHERE organization_id = $1 AND id > $2
		ORDER BY id LIMIT $3`, t.organization, after, limit)
}

// TanksOf is [Tx.Tanks] of the organization's own number: one or none.
func (t *Tx) TanksOf(ctx context.Context, externalRef string, after uuid.UUID) ([]Tank, error) {
	return many(ctx, t, "find the tank", scanTank, `
		SELECT `+tankColumns+` FROM tanks
		WHERE organization_id = $1 AND external_ref = $2 AND id > $3`, t.organization, externalRef, after)
}

// ChangeTank replaces a tank by what change makes of it, unless it is another version
// than the caller means ([ErrStale]). What change reports passes unchanged.
func (t *Tx) ChangeTank(ctx context.Context, id uuid.UUID, match Match, change func(Tank) (Tank, error)) (Tank, error) {
	old, err := t.lockTank(ctx, id, match)
	if err != nil {
		return Tank{}, err
	}
	k, err := change(old)
	if err != nil {
		return Tank{}, err
	}
	return one(ctx, t, "change the tank", scanTank, `
		UPDATE tanks SET label = $3, external_ref = $4, description = $5, wishes = $6,
			version = version + 1, revision = revision + 1, updated_at = now()
		WHERE organization_id = $1 AND id = $2
		RETURNING `+tankColumns, t.organization, id, k.Label, k.ExternalRef, k.Description, k.Wishes)
}

// lockTank returns a tank of the version meant and keeps others from changing it.
func (t *Tx) lockTank(ctx context.Context, id uuid.UUID, match Match) (Tank, error) {
	k, err := one(ctx, t, "read the tank", scanTank, tankByID+` FOR UPDATE`, t.organization, id)
	if err == nil && !match(k.Version) {
		err = ErrStale
	}
	return k, err
}

// DeleteTank deletes a tank with its residents and readings, unless it is another version
// than the caller means.
func (t *Tx) DeleteTank(ctx context.Context, id uuid.UUID, match Match) error {
	if _, err := t.lockTank(ctx, id, match); err != nil {
		return err
	}
	_, err := t.tx.Exec(ctx, `DELETE FROM tanks WHERE organization_id = $1 AND id = $2`, t.organization, id)
	return explain("delete the tank", err)
}
