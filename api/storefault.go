package api

import (
	"errors"
	"strconv"

	"commensal/api/gen"
	"commensal/internal/store"
)

// errDatabaseAway says that the database does not answer.
var errDatabaseAway = &fault{slug: databaseAway, detail: "The database does not answer; nothing stored can be read or changed.",
	header: map[string]string{"Retry-After": "2"}}

// errNoSuchThing is the one answer to ids of nothing, of somebody else's things and to text that is
// no id.
var errNoSuchThing = &fault{slug: notFound, detail: "There is no such thing, or it is not this organization's."}

// storeFault is the problem behind an error of the store; others pass unchanged.
func storeFault(err error) error {
	var refused *store.ConstraintError
	switch {
	case err == nil:
		return nil
	case errors.Is(err, store.ErrNotFound):
		return errNoSuchThing
	case errors.Is(err, store.ErrNoCatalogue):
		return errNotReady
	case errors.Is(err, store.ErrRevisionMoved):
		return &fault{slug: catalogueMoved, detail: "Somebody else has changed the catalogue meanwhile; nothing of this was carried out."}
	case errors.Is(err, store.ErrUnavailable):
		return errDatabaseAway
	case errors.Is(err, store.ErrStale):
		return &fault{slug: preconditionFailed, detail: "It has changed since the ETag in If-Match."}
	case errors.Is(err, store.ErrFull):
		detail := "The tank would have more than " + strconv.Itoa(maxResidents) + " lines of residents."
		return &fault{slug: impossibleValue, detail: detail, fields: fields(atField(gen.Body, "", detail, "take lines together, or use another tank"))}
	case errors.Is(err, store.ErrNotOnHold):
		return &fault{slug: notOverridable, detail: "The check is not on hold: there is nothing to override."}
	case errors.Is(err, store.ErrOverridesFull):
		return &fault{slug: notOverridable, detail: "The check has " + strconv.Itoa(store.MaxOverrides) + " overrides, and takes no more."}
	case errors.Is(err, store.ErrBusy):
		return &fault{slug: requestUnderWay, detail: "Another request is at work on this and has not ended in time.",
			header: map[string]string{"Retry-After": "1"}}
	case errors.Is(err, store.ErrKeyReused):
		return &fault{slug: idempotencyKeyReused, detail: "The Idempotency-Key came with another request before."}
	case errors.As(err, &refused):
		if detail, known := taken[refused.Constraint]; known {
			return &fault{slug: alreadyExists, detail: detail}
		}
	}
	return err
}

// taken says what a constraint that keeps things apart means.
var taken = map[string]string{
	store.ExternalRefTaken: "Another tank of the organization has this external_ref.",
	store.NameTaken:        "There is an organization of this name already.",
}
