package respond

import (
	"errors"
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/internal/stocking"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// ErrDatabaseAway says that the database does not answer.
var ErrDatabaseAway = &Fault{Slug: DatabaseAway, Detail: "The database does not answer; nothing stored can be read or changed.",
	Header: map[string]string{"Retry-After": "2"}}

// errNoSuchThing is the one answer to ids of nothing, of somebody else's things and to text that is
// no id.
var errNoSuchThing = &Fault{Slug: NotFound, Detail: "There is no such thing, or it is not this organization's."}

// CheckPath is the path of a recorded check.
func CheckPath(id uuid.UUID) string { return "/v1/checks/" + id.String() }

// StoreFault is the problem behind an error of the store; others pass unchanged.
func StoreFault(err error) error {
	var refused *store.ConstraintError
	var full *store.QuotaError
	var ref *store.RefTakenError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &full):
		return &Fault{Slug: QuotaReached, Detail: "The organization may not store more " + strings.ReplaceAll(full.Kind, "_", " ") + ": it would be " + full.Detail + "."}
	case errors.As(err, &ref):
		at := CheckPath(ref.Record)
		detail := "The external_ref is that of the record " + at + " already, and it was to be on no other."
		return &Fault{Slug: AlreadyExists, Detail: detail, Existing: at, Entries: Fields(AtField(gen.Body, "/external_ref", detail, "use that record, or leave external_ref_unique out"))}
	case errors.Is(err, store.ErrNotFound):
		return errNoSuchThing
	case errors.Is(err, store.ErrNoCatalogue):
		return errNotReady
	case errors.Is(err, store.ErrRevisionMoved):
		return &Fault{Slug: CatalogueMoved, Detail: "Somebody else has changed the catalogue meanwhile; nothing of this was carried out."}
	case errors.Is(err, store.ErrUnavailable):
		return ErrDatabaseAway
	case errors.Is(err, store.ErrStale):
		return &Fault{Slug: PreconditionFailed, Detail: "It has changed since the ETag in If-Match."}
	case errors.Is(err, store.ErrFull):
		detail := "The tank would have more than " + strconv.Itoa(stocking.MaxLines) + " lines of residents."
		return &Fault{Slug: ImpossibleValue, Detail: detail, Entries: Fields(AtField(gen.Body, "", detail, "take lines together, or use another tank"))}
	case errors.Is(err, store.ErrNotOnHold):
		return &Fault{Slug: NotOverridable, Detail: "The check is not on hold: there is nothing to override."}
	case errors.Is(err, store.ErrOverridesFull):
		return &Fault{Slug: NotOverridable, Detail: "The check has " + strconv.Itoa(store.MaxOverrides) + " overrides, and takes no more."}
	case errors.Is(err, store.ErrBusy):
		return &Fault{Slug: RequestUnderWay, Detail: "Another request is at work on this and has not ended in time.",
			Header: map[string]string{"Retry-After": "1"}}
	case errors.Is(err, store.ErrKeyReused):
		return &Fault{Slug: IdempotencyKeyReused, Detail: "The Idempotency-Key came with another request before."}
	case errors.As(err, &refused) && refused.SQLState == store.ForeignKeyViolation:
		return errNoSuchThing // it was there a moment ago
	case errors.As(err, &refused):
		if detail, known := taken[refused.Constraint]; known {
			return &Fault{Slug: AlreadyExists, Detail: detail}
		}
	}
	return err
}

// taken says what a constraint that tells things apart means.
var taken = map[string]string{
	store.ExternalRefTaken: "Another tank of the organization has this external_ref.",
	store.NameTaken:        "There is an organization of this name already.",
}
