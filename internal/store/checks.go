package store

import (
	"context"
	"encoding/json"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// CheckRecord is a check as it was decided. It never changes; overrides are added to it.
type CheckRecord struct {
	ID          uuid.UUID
	DecidedAt   time.Time
	Key         string // that asked
	ExternalRef *string
	Tank        *uuid.UUID // the stored tank that was judged; it may be gone
	Decision    string
	Summary     string
	Revision    int64 // of the catalogue
	Model       string
	Program     string
	Overrides   []Override      // in order of number
	Input       json.RawMessage // RecordedInput of the contract; nil in lists
	Answer      json.RawMessage // Check of the contract; nil in lists
}

// CheckFilter narrows a list of recorded checks; nil is everything.
type CheckFilter struct {
	Decision, ExternalRef *string
	Since, Until          *time.Time // from Since on and before Until
}

const checkHead = `id, decided_at, key_id, external_ref, tank_id, decision, summary, catalogue_revision, model_version, program_version,
	coalesce((SELECT json_agg(json_build_object('number', number, 'key', o.key_id, 'reason', reason, 'staff_ref', staff_ref, 'made_at', made_at) ORDER BY number)
		FROM check_overrides o WHERE o.organization_id = r.organization_id AND o.check_id = r.id), '[]')`

// headOf are the places of the columns of checkHead.
func (c *CheckRecord) headOf() []any {
	return []any{&c.ID, &c.DecidedAt, &c.Key, &c.ExternalRef, &c.Tank, &c.Decision, &c.Summary, &c.Revision, &c.Model, &c.Program, &c.Overrides}
}

func scanCheckHead(row pgx.CollectableRow) (c CheckRecord, err error) {
	err = row.Scan(c.headOf()...)
	return c, err
}

func scanCheck(row pgx.CollectableRow) (c CheckRecord, err error) {
	err = row.Scan(append(c.headOf(), &c.Input, &c.Answer)...)
	return c, err
}

// RecordCheck stores a check, all but ID, DecidedAt and Overrides, which it returns.
func (t *Tx) RecordCheck(ctx context.Context, c CheckRecord) (CheckRecord, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return CheckRecord{}, err
	}
	c.ID, c.Overrides = id, nil
	c.DecidedAt, err = one(ctx, t, "record the check", pgx.RowTo[time.Time], `
		INSERT INTO check_records (organization_id, id, key_id, external_ref, tank_id, decision, summary,
			catalogue_revision, model_version, program_version, input, answer)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)
		RETURNING decided_at`,
		t.organization, id, c.Key, c.ExternalRef, c.Tank, c.Decision, c.Summary, c.Revision, c.Model, c.Program, c.Input, c.Answer)
	return c, err
}

// Check returns a recorded check with its overrides, or [ErrNotFound].
func (t *Tx) Check(ctx context.Context, id uuid.UUID) (CheckRecord, error) {
	return one(ctx, t, "read the check", scanCheck, `
		SELECT `+checkHead+`, input, answer FROM check_records r
		WHERE organization_id = $1 AND id = $2`, t.organization, id)
}

// recordsOf are the records that a filter lets pass: parameters 1 to 5.
const recordsOf = ` FROM check_records r
	WHERE organization_id = $1 AND ($2::text IS NULL OR decision = $2) AND ($3::text IS NULL OR external_ref = $3)
		AND ($4::timestamptz IS NULL OR decided_at >= $4) AND ($5::timestamptz IS NULL OR decided_at < $5)`

func (f *CheckFilter) parameters(organization uuid.UUID) []any {
	return []any{organization, f.Decision, f.ExternalRef, f.Since, f.Until}
}

// Checks lists recorded checks without Input and Answer, the newest first, from behind the one of
// beforeID decided at before, at most limit of them.
func (t *Tx) Checks(ctx context.Context, f CheckFilter, before time.Time, beforeID uuid.UUID, limit int) ([]CheckRecord, error) {
	return many(ctx, t, "list the checks", scanCheckHead, `
		SELECT `+checkHead+recordsOf+` AND (decided_at, id) < ($6, $7)
		ORDER BY decided_at DESC, id DESC LIMIT $8`,
		append(f.parameters(t.organization), before, beforeID, limit)...)
}
