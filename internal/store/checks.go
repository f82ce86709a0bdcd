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

// CheckRecord is a check as it was decided. It never changes; overrides are added to it, and what became of it is noted beside it.
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
	Noted       *CheckOutcome   // nil where nothing was ever noted
	Input       json.RawMessage // RecordedInput of the contract; nil in lists
	Answer      json.RawMessage // Check of the contract; nil in lists
}

// CheckOutcome is what became of a check, as it was noted last.
type CheckOutcome struct {
	Outcome *string   `json:"outcome"` // sold, not_sold or returned; nil where it was taken back
	Reason  *string   `json:"reason"`  // only with an outcome
	Key     string    `json:"key"`     // that noted it
	NotedAt time.Time `json:"noted_at"`
	Version int64     `json:"version"` // from 1, up each time
}

// Version tells the states of a record apart: overrides and what is noted are all that ever changes.
func (c *CheckRecord) Version() int64 {
	version := int64(1 + len(c.Overrides))
	if c.Noted != nil {
		version += c.Noted.Version
	}
	return version
}

// NoOutcome is the outcome of a [CheckFilter] that lets checks pass that have none.
const NoOutcome = "none"

// CheckFilter narrows a list of recorded checks; nil is everything.
type CheckFilter struct {
	Decision, ExternalRef *string
	Overridden            *bool
	Outcome               *string    // or [NoOutcome]
	Since, Until          *time.Time // from Since on and before Until
}

const checkHead = `id, decided_at, key_id, external_ref, tank_id, decision, summary, catalogue_revision, model_version, program_version,
	coalesce((SELECT json_agg(json_build_object('number', number, 'key', o.key_id, 'reason', reason, 'staff_ref', staff_ref, 'made_at', made_at) ORDER BY number)
		FROM check_overrides o WHERE o.organization_id = r.organization_id AND o.check_id = r.id), '[]'),
	(SELECT json_build_object('outcome', outcome, 'reason', reason, 'key', n.key_id, 'noted_at', noted_at, 'version', version)
		FROM check_outcomes n WHERE n.organization_id = r.organization_id AND n.check_id = r.id)`

// headOf are the places of the columns of checkHead.
func (c *CheckRecord) headOf() []any {
	return []any{&c.ID, &c.DecidedAt, &c.Key, &c.ExternalRef, &c.Tank, &c.Decision, &c.Summary, &c.Revision, &c.Model, &c.Program, &c.Overrides, &c.Noted}
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

// recordsOf is SQL for the records that a filter lets pass, with its parameters.
func (f *CheckFilter) recordsOf(organization uuid.UUID) (sql string, parameters []any) {
	parameters = []any{organization, f.Decision, f.ExternalRef, f.Since, f.Until}
	sql = ` FROM check_records r
		WHERE organization_id = $1 AND ($2::text IS NULL OR decision = $2) AND ($3::text IS NULL OR external_ref = $3)
			AND ($4::timestamptz IS NULL OR decided_at >= $4) AND ($5::timestamptz IS NULL OR decided_at < $5)`
	if f.Overridden != nil {
		sql += whether(*f.Overridden) + ` EXISTS (SELECT FROM check_overrides o WHERE o.organization_id = $1 AND o.check_id = r.id)`
	}
	switch {
	case f.Outcome == nil:
	case *f.Outcome == NoOutcome:
		sql += whether(false) + ` EXISTS (SELECT FROM check_outcomes n WHERE n.organization_id = $1 AND n.check_id = r.id AND n.outcome IS NOT NULL)`
	default:
		sql += whether(true) + ` EXISTS (SELECT FROM check_outcomes n WHERE n.organization_id = $1 AND n.check_id = r.id AND n.outcome = $6)`
		parameters = append(parameters, *f.Outcome)
	}
	return sql, parameters
}

func whether(wanted bool) string {
	if wanted {
		return ` AND`
	}
	return ` AND NOT`
}

// Checks lists recorded checks without Input and Answer, the newest first, from behind the one of
// beforeID decided at before, at most limit of them.
func (t *Tx) Checks(ctx context.Context, f CheckFilter, before time.Time, beforeID uuid.UUID, limit int) ([]CheckRecord, error) {
	records, parameters := f.recordsOf(t.organization)
	n := len(parameters)
	return many(ctx, t, "list the checks", scanCheckHead, `
		SELECT `+checkHead+records+fmt.Sprintf(` AND (decided_at, id) < ($%d, $%d)
		ORDER BY decided_at DESC, id DESC LIMIT $%d`, n+1, n+2, n+3),
		append(parameters, before, beforeID, limit)...)
}

// RefTakenError says that a record has an external_ref that was to be on no other.
type RefTakenError struct{ Record uuid.UUID } // the newest of those that have it

func (e *RefTakenError) Error() string {
	return "store: the external_ref is that of record " + e.Record.String()
}

// ClaimRef makes sure that no record has an external_ref, else it is a [*RefTakenError]. Those that claim the same one
// at the same time take turns until their transactions end; one that waits more than a second for its turn is [ErrBusy].
func (t *Tx) ClaimRef(ctx context.Context, ref string) error {
	if err := t.takeTurn(ctx, "claim the external_ref", "ref "+t.organization.String()+" "+ref); err != nil {
		return err
	}
	having, err := many(ctx, t, "look for the external_ref", pgx.RowTo[uuid.UUID], `
		SELECT id FROM check_records WHERE organization_id = $1 AND external_ref = $2
		ORDER BY decided_at DESC, id DESC LIMIT 1`, t.organization, ref)
	if err == nil && len(having) > 0 {
		err = &RefTakenError{Record: having[0]}
	}
	return err
}

// takeTurn waits until nobody else is at work on something, and keeps it until the transaction ends. Rows that nobody may
// change cannot be locked; the lock is on their name.
func (t *Tx) takeTurn(ctx context.Context, doing, on string) error {
	_, err := t.tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtextextended($1::text, 0))`, on)
	return explain(doing, err)
}

// turnOf is what those take turns at who add to a record.
func turnOf(check uuid.UUID) string { return "override " + check.String() }

// NoteOutcome notes what became of a check, Outcome and Reason as change makes them of the record, where its version is
// the one meant, and returns the record without Input and Answer. A record that does not exist is [ErrNotFound], another
// version [ErrStale]. Those that come at the same time take turns; one that waits more than a second for its turn is [ErrBusy].
func (t *Tx) NoteOutcome(ctx context.Context, check uuid.UUID, match Match, key string, change func(CheckOutcome) (CheckOutcome, error)) (CheckRecord, error) {
	if err := t.takeTurn(ctx, "wait for the turn to note the outcome", turnOf(check)); err != nil {
		return CheckRecord{}, err
	}
	record, err := t.checkHead(ctx, check)
	switch {
	case err != nil:
		return record, err
	case !match(record.Version()):
		return record, ErrStale
	}
	var now CheckOutcome
	if record.Noted != nil {
		now = *record.Noted
	}
	if now, err = change(now); err != nil {
		return record, err
	}
	_, err = t.tx.Exec(ctx, `
		INSERT INTO check_outcomes AS n (organization_id, check_id, outcome, reason, key_id) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (organization_id, check_id) DO UPDATE
			SET outcome = excluded.outcome, reason = excluded.reason, key_id = excluded.key_id, noted_at = excluded.noted_at, version = n.version + 1`,
		t.organization, check, now.Outcome, now.Reason, key)
	if err != nil {
		return record, explain("note the outcome", err)
	}
	return t.checkHead(ctx, check)
}

func (t *Tx) checkHead(ctx context.Context, id uuid.UUID) (CheckRecord, error) {
	return one(ctx, t, "read the check", scanCheckHead, `
		SELECT `+checkHead+` FROM check_records r WHERE organization_id = $1 AND id = $2`, t.organization, id)
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
	if err := t.takeTurn(ctx, "wait for the turn to override", turnOf(check)); err != nil {
		return Override{}, err
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
//
// It may be read on the replica, and is read on the primary where that fails before the first record.
func (s *Store) ExportChecks(ctx context.Context, organization uuid.UUID, f CheckFilter, each func(CheckRecord) error) error {
	sent, begun := false, time.Now()
	err := s.export(ctx, s.opts.Patience, f, s.readReplica, organization, func(c CheckRecord) error {
		sent = true
		return each(c)
	})
	switch {
	case !errors.Is(err, errPrimary):
		return err
	case sent:
		return fmt.Errorf("%w: export the checks: the replica failed in the middle", ErrUnavailable)
	}
	return s.export(ctx, 3*s.opts.Patience-time.Since(begun), f, s.readPrimary, organization, each)
}

func (s *Store) readPrimary(ctx context.Context, patience time.Duration, organization uuid.UUID, do func(*Tx) error) error {
	return s.as(ctx, patience, opening{true, organization}, do)
}

// export exports by a reading that may take long, and waits for the first record no longer than hurry.
func (s *Store) export(ctx context.Context, hurry time.Duration, f CheckFilter, read func(context.Context, time.Duration, uuid.UUID, func(*Tx) error) error,
	organization uuid.UUID, each func(CheckRecord) error) error {
	hurried, cancel := context.WithCancel(ctx)
	defer cancel()
	late := time.AfterFunc(hurry, cancel)
	var refused error // by each
	err := read(hurried, exportPatience, organization, func(t *Tx) error {
		return t.exportChecks(hurried, f, func(c CheckRecord) error {
			late.Stop()
			if refused = each(c); refused != nil {
				cancel() // or closing would read all that is left
			}
			return refused
		})
	})
	switch {
	case refused != nil:
		return refused
	case !late.Stop() && errors.Is(err, context.Canceled) && ctx.Err() == nil:
		return fmt.Errorf("%w: export the checks", ErrUnavailable)
	}
	return err
}

func (t *Tx) exportChecks(ctx context.Context, f CheckFilter, each func(CheckRecord) error) error {
	records, parameters := f.recordsOf(t.organization)
	rows, err := t.tx.Query(ctx, `
		SELECT `+checkHead+`, input, answer`+records+`
		ORDER BY decided_at, id`, parameters...)
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
