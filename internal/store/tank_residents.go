package store

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// ErrFull says that a tank has as many lines of residents as it may have.
var ErrFull = errors.New("store: the tank has as many residents' lines as it may have")

// Resident is one line of a tank's residents.
type Resident struct {
	ID        uuid.UUID
	Species   string
	Line      json.RawMessage // LineInput of the contract
	StatedAt  time.Time       // when the age in the line was true
	Version   int64
	CreatedAt time.Time
	UpdatedAt time.Time
}

const residentColumns = `id, species_id, line, stated_at, version, created_at, updated_at`

func scanResident(row pgx.CollectableRow) (r Resident, err error) {
	err = row.Scan(&r.ID, &r.Species, &r.Line, &r.StatedAt, &r.Version, &r.CreatedAt, &r.UpdatedAt)
	return r, err
}

// AddResidents stores lines of residents of a tank: Species and Line of each. More than
// most lines in all are [ErrFull].
func (t *Tx) AddResidents(ctx context.Context, tank uuid.UUID, lines []Resident, most int) ([]Resident, error) {
	if _, err := t.lockTank(ctx, tank, func(int64) bool { return true }); err != nil {
		return nil, err
	}
	var n int
	err := t.tx.QueryRow(ctx, `SELECT count(*) FROM residents WHERE organization_id = $1 AND tank_id = $2`, t.organization, tank).Scan(&n)
	if err != nil {
		return nil, explain("count the residents", err)
	}
	if n+len(lines) > most {
		return nil, ErrFull
	}
	args, err := t.newResidents(tank, lines)
	if err != nil {
		return nil, err
	}
	return many(ctx, t, "add the residents", scanResident, insertResidents, args...)
}

const insertResidents = `
	INSERT INTO residents (organization_id, tank_id, id, species_id, line)
	SELECT $1, $2, l.id, l.species_id, l.line::jsonb
	FROM unnest($3::uuid[], $4::text[], $5::text[]) AS l (id, species_id, line)
	RETURNING ` + residentColumns

// newResidents are the arguments of insertResidents.
func (t *Tx) newResidents(tank uuid.UUID, lines []Resident) ([]any, error) {
	ids, species, json := make([]uuid.UUID, len(lines)), make([]string, len(lines)), make([]string, len(lines))
	for i, l := range lines {
		id, err := uuid.NewV7()
		if err != nil {
			return nil, err
		}
		ids[i], species[i], json[i] = id, l.Species, string(l.Line)
	}
	return []any{t.organization, tank, ids, species, json}, nil
}

const residentByID = `SELECT ` + residentColumns + ` FROM residents WHERE organization_id = $1 AND tank_id = $2 AND id = $3`

// Resident returns a line of residents of an organization, or [ErrNotFound]. It takes one
// round trip.
func (s *Store) Resident(ctx context.Context, organization, tank, id uuid.UUID) (r Resident, err error) {
	err = s.ask(ctx, "read the resident", organization, func(batch *pgx.Batch) {
		queueOne(batch, &r, scanResident, residentByID, organization, tank, id)
	})
	return r, err
}

// Residents lists the lines of a tank in the order they were added, from behind the id
// after, at most limit of them. A tank that does not exist is [ErrNotFound].
func (t *Tx) Residents(ctx context.Context, tank, after uuid.UUID, limit int) ([]Resident, error) {
	if err := t.hasTank(ctx, tank); err != nil {
		return nil, err
	}
	return many(ctx, t, "list the residents", scanResident, `
		SELECT `+residentColumns+` FROM residents
		WHERE organization_id = $1 AND tank_id = $2 AND id > $3
		ORDER BY id LIMIT $4`, t.organization, tank, after, limit)
}

// ChangeResident replaces a line by what change makes of it, unless it is another version
// than the caller means ([ErrStale]). A StatedAt of zero becomes now.
func (t *Tx) ChangeResident(ctx context.Context, tank, id uuid.UUID, match Match, change func(Resident) (Resident, error)) (Resident, error) {
	old, err := t.lockResident(ctx, tank, id, match)
	if err != nil {
		return Resident{}, err
	}
	r, err := change(old)
	if err != nil {
		return Resident{}, err
	}
	return one(ctx, t, "change the resident", scanResident, `
		UPDATE residents SET species_id = $4, line = $5, stated_at = coalesce($6, now()), version = version + 1, updated_at = now()
		WHERE organization_id = $1 AND tank_id = $2 AND id = $3
		RETURNING `+residentColumns, t.organization, tank, id, r.Species, r.Line, orNull(r.StatedAt))
}

func (t *Tx) lockResident(ctx context.Context, tank, id uuid.UUID, match Match) (Resident, error) {
	r, err := one(ctx, t, "read the resident", scanResident, residentByID+` FOR UPDATE`, t.organization, tank, id)
	if err == nil && !match(r.Version) {
		err = ErrStale
	}
	return r, err
}

// DeleteResident deletes a line, unless it is another version than the caller means.
func (t *Tx) DeleteResident(ctx context.Context, tank, id uuid.UUID, match Match) error {
	if _, err := t.lockResident(ctx, tank, id, match); err != nil {
		return err
	}
	_, err := t.tx.Exec(ctx, `DELETE FROM residents WHERE organization_id = $1 AND tank_id = $2 AND id = $3`, t.organization, tank, id)
	return explain("delete the resident", err)
}
