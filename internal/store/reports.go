package store

import (
	"context"
	"time"

	"commensal/internal/evidence"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Report is what became of two species that were kept together. Nil and the zero time
// stand for what was not told.
type Report struct {
	ID         uuid.UUID
	Fish       [2]ReportedFish
	Months     float64 // kept together, to a tenth
	Outcome    evidence.Outcome
	TankCM     [3]*float64 // inside length, width, height; all or none
	ObservedOn time.Time   // a day
	CreatedAt  time.Time
	// RetractedAt is from when on it does not count; zero for one that counts.
	RetractedAt time.Time
}

// ReportedFish is one side of a report.
type ReportedFish struct {
	Species  string // by id
	Count    *int
	LengthCM *float64
}

const reportColumns = `id, first_species, first_count, first_length_cm, second_species, second_count, second_length_cm, months::float8, outcome,
	tank_length_cm, tank_width_cm, tank_height_cm, observed_on, created_at, retracted_at`

func scanReport(row pgx.CollectableRow) (r Report, err error) {
	var outcome string
	var observed, retracted *time.Time
	a, b := &r.Fish[0], &r.Fish[1]
	err = row.Scan(&r.ID, &a.Species, &a.Count, &a.LengthCM, &b.Species, &b.Count, &b.LengthCM, &r.Months, &outcome,
		&r.TankCM[0], &r.TankCM[1], &r.TankCM[2], &observed, &r.CreatedAt, &retracted)
	r.Outcome, _ = evidence.ParseOutcome(outcome) // the table lets no other word pass
	r.ObservedOn, r.RetractedAt = timeOf(observed), timeOf(retracted)
	return r, err
}

// CreateReport stores a report; ID and the last two moments of r are not looked at.
func (t *Tx) CreateReport(ctx context.Context, r Report) (Report, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return Report{}, err
	}
	a, b := &r.Fish[0], &r.Fish[1]
	return one(ctx, t, "file the report", scanReport, `
		INSERT INTO reports (organization_id, id, first_species, first_count, first_length_cm, second_species, second_count, second_length_cm,
			months, outcome, tank_length_cm, tank_width_cm, tank_height_cm, observed_on)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9::float8::numeric, $10, $11, $12, $13, $14)
		RETURNING `+reportColumns,
		t.organization, id, a.Species, a.Count, a.LengthCM, b.Species, b.Count, b.LengthCM,
		r.Months, r.Outcome.String(), r.TankCM[0], r.TankCM[1], r.TankCM[2], orNull(r.ObservedOn))
}

// Report returns a report, or [ErrNotFound].
func (t *Tx) Report(ctx context.Context, id uuid.UUID) (Report, error) {
	return one(ctx, t, "read the report", scanReport, `
		SELECT `+reportColumns+` FROM reports WHERE organization_id = $1 AND id = $2`, t.organization, id)
}

// Reports lists the organization's reports in the order they were filed, retracted ones
// too, from behind the id after, at most limit of them.
func (t *Tx) Reports(ctx context.Context, after uuid.UUID, limit int) ([]Report, error) {
	return many(ctx, t, "list the reports", scanReport, `
		SELECT `+reportColumns+` FROM reports
		WHERE organization_id = $1 AND id > $2 ORDER BY id LIMIT $3`, t.organization, after, limit)
}

// RetractReport makes a report count no more. One that is retracted already stays as it
// is.
func (t *Tx) RetractReport(ctx context.Context, id uuid.UUID) error {
	_, err := one(ctx, t, "retract the report", scanReport, `
		UPDATE reports SET retracted_at = coalesce(retracted_at, now())
		WHERE organization_id = $1 AND id = $2
		RETURNING `+reportColumns, t.organization, id)
	return err
}
