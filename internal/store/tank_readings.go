package store

import (
	"context"
	"time"

	"commensal/internal/species"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Reading is what was measured in a tank at one moment; nil is what was not.
type Reading struct {
	ID      uuid.UUID
	TakenAt time.Time
	Values  [species.NumParameters]*float64 // °C, pH, °dH, ppt
}

const readingColumns = `id, taken_at, temperature_c, ph, gh_dh, salinity_ppt`

func scanReading(row pgx.CollectableRow) (r Reading, err error) {
	err = row.Scan(&r.ID, &r.TakenAt, &r.Values[species.Temperature], &r.Values[species.PH], &r.Values[species.Hardness], &r.Values[species.Salinity])
	return r, err
}

// AddReading stores a reading of a tank. A tank that does not exist is [ErrNotFound].
func (t *Tx) AddReading(ctx context.Context, tank uuid.UUID, r Reading) (Reading, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return Reading{}, err
	}
	v := &r.Values
	return one(ctx, t, "add the reading", scanReading, `
		INSERT INTO readings (organization_id, tank_id, id, taken_at, temperature_c, ph, gh_dh, salinity_ppt)
		SELECT organization_id, id, $3, $4, $5::float8, $6::float8, $7::float8, $8::float8
		FROM tanks WHERE organization_id = $1 AND id = $2 FOR KEY SHARE
		RETURNING `+readingColumns,
		t.organization, tank, id, r.TakenAt, v[species.Temperature], v[species.PH], v[species.Hardness], v[species.Salinity])
}

// Readings lists readings of a tank, the newest first, from behind the one of beforeID
// taken at before, at most limit of them. A tank that does not exist is [ErrNotFound].
func (t *Tx) Readings(ctx context.Context, tank uuid.UUID, before time.Time, beforeID uuid.UUID, limit int) ([]Reading, error) {
	if err := t.hasTank(ctx, tank); err != nil {
		return nil, err
	}
	return many(ctx, t, "list the readings", scanReading, `
		SELECT `+readingColumns+` FROM readings
		WHERE organization_id = $1 AND tank_id = $2 AND (taken_at, id) < ($3, $4)
		ORDER BY taken_at DESC, id DESC LIMIT $5`, t.organization, tank, before, beforeID, limit)
}

// SwingDays is how far back water is looked at for swings, in days.
const SwingDays = 7

// Water is what is known of a tank's water from its readings, by parameter: the latest
// value, and the lowest and highest of the last [SwingDays] days. Nil is not known.
type Water struct {
	Latest, Lowest, Highest [species.NumParameters]*float64
}

// WaterSQL sums the readings of a tank up: organization, tank and days.
const WaterSQL = `
	WITH r AS NOT MATERIALIZED (SELECT * FROM readings WHERE organization_id = $1 AND tank_id = $2),
	latest AS (SELECT
		(SELECT temperature_c FROM r WHERE temperature_c IS NOT NULL ORDER BY taken_at DESC, id DESC LIMIT 1),
		(SELECT ph FROM r WHERE ph IS NOT NULL ORDER BY taken_at DESC, id DESC LIMIT 1),
		(SELECT gh_dh FROM r WHERE gh_dh IS NOT NULL ORDER BY taken_at DESC, id DESC LIMIT 1),
		(SELECT salinity_ppt FROM r WHERE salinity_ppt IS NOT NULL ORDER BY taken_at DESC, id DESC LIMIT 1)),
	extremes AS (SELECT
		min(temperature_c), min(ph), min(gh_dh), min(salinity_ppt), max(temperature_c), max(ph), max(gh_dh), max(salinity_ppt)
		FROM r WHERE taken_at > now() - make_interval(days => $3))
	SELECT * FROM latest, extremes`

func (w *Water) read(row pgx.Row) error {
	var to []any
	for _, values := range [...]*[species.NumParameters]*float64{&w.Latest, &w.Lowest, &w.Highest} {
		for p := range values {
			to = append(to, &values[p])
		}
	}
	return row.Scan(to...)
}

// Stock is a tank with all that lives in it and is known of its water.
type Stock struct {
	Tank      Tank
	Residents []Resident // in the order they were added
	Water     Water
}

// Stock returns a tank of an organization with all of its residents, at most limit, or
// [ErrNotFound]. It takes one round trip.
func (s *Store) Stock(ctx context.Context, organization, tank uuid.UUID, limit int) (stock Stock, err error) {
	err = s.ask(ctx, "read the tank", organization, func(batch *pgx.Batch) {
		queueOne(batch, &stock.Tank, scanTank, tankByID, organization, tank)
		stock.queueContents(batch, organization, tank, limit)
	})
	return stock, err
}

// queueContents queues what is in a tank.
func (stock *Stock) queueContents(batch *pgx.Batch, organization, tank uuid.UUID, limit int) {
	batch.Queue(`SELECT `+residentColumns+` FROM residents WHERE organization_id = $1 AND tank_id = $2 ORDER BY id LIMIT $3`,
		organization, tank, limit).Query(func(rows pgx.Rows) (err error) {
		stock.Residents, err = pgx.CollectRows(rows, scanResident)
		return err
	})
	batch.Queue(WaterSQL, organization, tank, SwingDays).QueryRow(stock.Water.read)
}

// Stocks is [Store.Stock] for many tanks, in one round trip. found is in the order of the
// ids; one that does not exist has a zero Tank.ID there.
func (s *Store) Stocks(ctx context.Context, organization uuid.UUID, tanks []uuid.UUID, limit int) (found []Stock, err error) {
	return stocksBy(s.Read, ctx, organization, tanks, limit)
}

// stocksBy is [Store.Stocks] where a reading is made.
func stocksBy(read reading, ctx context.Context, organization uuid.UUID, tanks []uuid.UUID, limit int) (found []Stock, err error) {
	found = make([]Stock, len(tanks))
	err = askBy(read, ctx, "read the tanks", organization, func(batch *pgx.Batch) {
		for i, id := range tanks {
			batch.Queue(tankByID, organization, id).Query(func(rows pgx.Rows) error {
				list, err := pgx.CollectRows(rows, scanTank)
				if err == nil && len(list) == 1 {
					found[i].Tank = list[0]
				}
				return err
			})
			found[i].queueContents(batch, organization, id, limit)
		}
	})
	return found, err
}

// queueOne queues a query for exactly one row.
func queueOne[T any](batch *pgx.Batch, into *T, scan pgx.RowToFunc[T], sql string, args ...any) {
	batch.Queue(sql, args...).Query(func(rows pgx.Rows) (err error) {
		*into, err = pgx.CollectExactlyOneRow(rows, scan)
		return err
	})
}

// queueMany asks for any number of rows in a batch.
func queueMany[T any](batch *pgx.Batch, into *[]T, scan pgx.RowToFunc[T], sql string, args ...any) {
	batch.Queue(sql, args...).Query(func(rows pgx.Rows) (err error) {
		*into, err = pgx.CollectRows(rows, scan)
		return err
	})
}
