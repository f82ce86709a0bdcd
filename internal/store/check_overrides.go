package store

import (
	"context"
	"errors"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

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
