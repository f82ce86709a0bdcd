package store

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Screening is a tank as it was judged last.
type Screening struct {
	Tank         uuid.UUID
	TankRevision int64 // of [Tank]
	Revision     int64 // of the catalogue
	Model        string
	Region       string          // of the organization; empty for none
	Input        json.RawMessage // CheckRequest of the contract: the list that was judged
	Verdict      json.RawMessage // TankVerdict of the contract
}

// ToScreen is a tank that is to be judged, with what was judged of it last; Before.Tank is zero for a tank that
// never was.
type ToScreen struct {
	Stock  Stock
	Before Screening
}

// Basis is what tanks are judged on.
type Basis struct {
	Revision int64 // of the catalogue
	Model    string
	Region   string // of the organization
}

// modelPatience is how long a judgement by another model is left alone: while replicas of two versions of the
// program run side by side, they do not judge everything anew in turn.
const modelPatience = 10 * time.Minute

// unscreened are the tanks that are not judged on a basis: parameters 1 to 4. A replica that is behind leaves alone what
// was judged on a newer catalogue.
const unscreened = ` FROM tanks t LEFT JOIN tank_screenings s ON s.organization_id = t.organization_id AND s.tank_id = t.id
	WHERE t.organization_id = $1 AND (s.tank_id IS NULL OR s.tank_revision <> t.revision OR s.catalogue_revision < $2
		OR s.catalogue_revision = $2 AND (coalesce(s.region, '') <> $4 OR s.model_version <> $3`

// ToScreen lists tanks that are to be judged, at most limit of them, with at most so many lines each. It may be read on the
// replica: that has what was judged before, and what is changed meanwhile is judged the next time, as it would be anyway.
func (s *Store) ToScreen(ctx context.Context, organization uuid.UUID, on Basis, limit, lines int) (out []ToScreen, err error) {
	var ids []uuid.UUID
	err = askBy(s.ReadAnywhere, ctx, "find the tanks to screen", organization, func(batch *pgx.Batch) {
		batch.Queue(`SELECT t.id`+unscreened+` AND s.screened_at < now() - $5::interval))
			ORDER BY t.id LIMIT $6`, organization, on.Revision, on.Model, on.Region, modelPatience, limit).Query(func(rows pgx.Rows) (err error) {
			ids, err = pgx.CollectRows(rows, pgx.RowTo[uuid.UUID])
			return err
		})
	})
	if err != nil || len(ids) == 0 {
		return nil, err
	}
	stocks, err := stocksBy(s.ReadAnywhere, ctx, organization, ids, lines)
	if err != nil {
		return nil, err
	}
	before, err := s.screenings(ctx, organization, ids)
	if err != nil {
		return nil, err
	}
	for i := range stocks {
		if stocks[i].Tank.ID != uuid.Nil {
			out = append(out, ToScreen{stocks[i], before[ids[i]]})
		}
	}
	return out, nil
}

func (s *Store) screenings(ctx context.Context, organization uuid.UUID, ids []uuid.UUID) (map[uuid.UUID]Screening, error) {
	out := map[uuid.UUID]Screening{}
	err := askBy(s.ReadAnywhere, ctx, "read what was screened", organization, func(batch *pgx.Batch) {
		batch.Queue(`
			SELECT tank_id, tank_revision, catalogue_revision, model_version, coalesce(region, ''), input, verdict FROM tank_screenings
			WHERE organization_id = $1 AND tank_id = ANY ($2)`, organization, ids).Query(func(rows pgx.Rows) error {
			list, err := pgx.CollectRows(rows, pgx.RowToStructByPos[Screening])
			for _, x := range list {
				out[x.Tank] = x
			}
			return err
		})
	})
	return out, err
}

// TankChange says that the same list is decided otherwise than before.
type TankChange struct {
	Tank         uuid.UUID
	Revision     int64 // of the catalogue, from which on it is so
	Model        string
	FromRevision int64
	Before       json.RawMessage // TankVerdict of the contract
	After        json.RawMessage
	FoundAt      time.Time
}

// SaveScreening stores what was judged of a tank, and what changed by that where something did; anew forgets the
// changes before, which were of another list. A tank that is gone by now is no error.
func (s *Store) SaveScreening(ctx context.Context, organization uuid.UUID, made Screening, change *TankChange, anew bool) error {
	err := s.Write(ctx, organization, func(t *Tx) error {
		batch := &pgx.Batch{}
		batch.Queue(`
			INSERT INTO tank_screenings (organization_id, tank_id, tank_revision, catalogue_revision, model_version, region, input, verdict)
			VALUES ($1, $2, $3, $4, $5, nullif($6, ''), $7, $8)
			ON CONFLICT (organization_id, tank_id) DO UPDATE SET tank_revision = excluded.tank_revision, catalogue_revision = excluded.catalogue_revision,
				model_version = excluded.model_version, region = excluded.region, input = excluded.input, verdict = excluded.verdict, screened_at = now()`,
			organization, made.Tank, made.TankRevision, made.Revision, made.Model, made.Region, made.Input, made.Verdict)
		if anew {
			batch.Queue(`DELETE FROM tank_changes WHERE organization_id = $1 AND tank_id = $2`, organization, made.Tank)
		}
		if change != nil {
			batch.Queue(`
				INSERT INTO tank_changes (organization_id, tank_id, catalogue_revision, model_version, from_revision, before, after)
				VALUES ($1, $2, $3, $4, $5, $6, $7)
				ON CONFLICT DO NOTHING`,
				organization, made.Tank, change.Revision, change.Model, change.FromRevision, change.Before, change.After)
		}
		return explain("store what was screened", t.tx.run(ctx, batch))
	})
	var refused *ConstraintError
	if errors.As(err, &refused) && refused.SQLState == ForeignKeyViolation {
		return nil
	}
	return err
}

// ChangedTank is a tank of which something else is decided by now: what was decided at first, and last.
type ChangedTank struct {
	ID                 uuid.UUID
	Label, ExternalRef *string
	Before, After      json.RawMessage
	FoundAt            time.Time // of the last change
}

// ChangedTanks lists the tanks that catalogue revisions after since, or newer models on it, decided otherwise, in the
// order the tanks were made, from behind the id after, at most limit of them. What was decided otherwise and
// back again is not among them.
func (t *Tx) ChangedTanks(ctx context.Context, since int64, after uuid.UUID, limit int) ([]ChangedTank, error) {
	return many(ctx, t, "list the changed tanks", pgx.RowToStructByPos[ChangedTank], `
		SELECT t.id, t.label, t.external_ref, c.before, c.after, c.found_at
		FROM tanks t
		JOIN tank_screenings s ON s.organization_id = t.organization_id AND s.tank_id = t.id AND s.tank_revision = t.revision
		CROSS JOIN LATERAL (
			SELECT (array_agg(before ORDER BY found_at))[1] AS before, (array_agg(after ORDER BY found_at DESC))[1] AS after, max(found_at) AS found_at
			FROM tank_changes c
			WHERE c.organization_id = t.organization_id AND c.tank_id = t.id AND (c.catalogue_revision > $2 OR c.from_revision >= $2)
			HAVING count(*) > 0
		) c
		WHERE t.organization_id = $1 AND t.id > $3 AND c.before ->> 'decision' <> c.after ->> 'decision'
		ORDER BY t.id LIMIT $4`, t.organization, since, after, limit)
}

// Unscreened counts the tanks that are not judged on a basis.
func (t *Tx) Unscreened(ctx context.Context, on Basis) (int, error) {
	return one(ctx, t, "count the tanks to screen", pgx.RowTo[int], `SELECT count(*)`+unscreened+`))`, t.organization, on.Revision, on.Model, on.Region)
}

// Alone runs do while no other replica runs anything under the same name; ran is false where one does.
func (s *Store) Alone(ctx context.Context, name string, do func(context.Context) error) (ran bool, err error) {
	err = s.inTxOf(ctx, pgx.TxOptions{}, func(tx pgx.Tx) error {
		if err := tx.QueryRow(ctx, `SELECT pg_try_advisory_xact_lock(hashtextextended($1, 0))`, name).Scan(&ran); err != nil || !ran {
			return explain("be the only one", err)
		}
		return do(ctx)
	})
	return ran, err
}
