package store

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
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

// MaxOverrides is the most overrides that a record takes.
const MaxOverrides = 20

// ErrNotOnHold says that a check was not decided as a hold, so that there is nothing to override.
var ErrNotOnHold = errors.New("store: the check is not on hold")

// ErrOverridesFull says that a record has [MaxOverrides] overrides.
var ErrOverridesFull = errors.New("store: the check has as many overrides as it can have")

// Override is a hold that staff let pass.
type Override struct {
	Number   int       `json:"number"` // from 1 without a gap, in order of time
	MadeAt   time.Time `json:"made_at"`
	Key      string    `json:"key"`
	Reason   string    `json:"reason"`
	StaffRef *string   `json:"staff_ref"`
}

// AddOverride adds an override, Key, Reason and StaffRef of it, to a record on hold. A record
// that does not exist is [ErrNotFound]. Those that come at the same time take turns; one that waits
// more than a second for its turn is [ErrBusy].
func (t *Tx) AddOverride(ctx context.Context, check uuid.UUID, o Override) (Override, error) {
	decision, err := one(ctx, t, "read the check", pgx.RowTo[string], `
		SELECT decision FROM check_records WHERE organization_id = $1 AND id = $2`, t.organization, check)
	switch {
	case err != nil:
		return Override{}, err
	case decision != "hold":
		return Override{}, ErrNotOnHold
	}
	// A row that nobody may change cannot be locked either; the lock is on its id.
	if _, err := t.tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtextextended($1::text, 0))`, "override "+check.String()); err != nil {
		return Override{}, explain("wait for the turn to override", err)
	}
	o, err = one(ctx, t, "override the check", scanOverride, `
		INSERT INTO check_overrides (organization_id, check_id, number, key_id, reason, staff_ref)
		SELECT $1, $2, count(*) + 1, $3, $4, $5 FROM check_overrides WHERE organization_id = $1 AND check_id = $2
		RETURNING number, made_at, key_id, reason, staff_ref`, t.organization, check, o.Key, o.Reason, o.StaffRef)
	var refused *ConstraintError
	if errors.As(err, &refused) && refused.Constraint == "check_overrides_number_in_range" {
		err = ErrOverridesFull
	}
	return o, err
}

func scanOverride(row pgx.CollectableRow) (o Override, err error) {
	err = row.Scan(&o.Number, &o.MadeAt, &o.Key, &o.Reason, &o.StaffRef)
	return o, err
}

// exportPatience bounds an export, and with it for how long a reader that dawdles holds a
// connection and keeps the database from tidying up.
const exportPatience = 10 * time.Minute

// ExportChecks hands every record that a filter lets pass to each, whole, the oldest first. It is
// one statement, so that all of it is of one moment: what is recorded or overridden
// meanwhile is not in it. One record is in memory at a time.
//
// What each reports ends it and passes unchanged. The first record is waited for no longer than three
// times Options.Patience, for it may be far down a filtered list; then it is [ErrUnavailable].
func (s *Store) ExportChecks(ctx context.Context, organization uuid.UUID, f CheckFilter, each func(CheckRecord) error) error {
	hurried, cancel := context.WithCancel(ctx)
	defer cancel()
	late := time.AfterFunc(3*s.opts.Patience, cancel)
	err := s.as(hurried, exportPatience, opening{true, organization}, func(t *Tx) error {
		return t.exportChecks(hurried, f, func(c CheckRecord) error {
			late.Stop()
			err := each(c)
			if err != nil {
				cancel() // or closing would read all that is left
			}
			return err
		})
	})
	if !late.Stop() && errors.Is(err, context.Canceled) && ctx.Err() == nil {
		return fmt.Errorf("%w: export the checks", ErrUnavailable)
	}
	return err
}

func (t *Tx) exportChecks(ctx context.Context, f CheckFilter, each func(CheckRecord) error) error {
	rows, err := t.tx.Query(ctx, `
		SELECT `+checkHead+`, input, answer`+recordsOf+`
		ORDER BY decided_at, id`, f.parameters(t.organization)...)
	if err != nil {
		return explain("export the checks", err)
	}
	defer rows.Close()
	for rows.Next() {
		record, err := scanCheck(rows)
		if err != nil {
			return explain("export the checks", err)
		}
		if err := each(record); err != nil {
			return err
		}
	}
	return explain("export the checks", rows.Err())
}
