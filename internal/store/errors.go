package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// ErrNotFound says that the thing asked for does not exist.
var ErrNotFound = errors.New("store: not found")

// ErrNoCatalogue says that no catalogue has been loaded into the database yet.
var ErrNoCatalogue = errors.New("store: no catalogue has been loaded: run commensal catalogue load")

// ErrRevisionMoved says that the catalogue has another current revision than the one
// that a change was made from. Nothing was written.
var ErrRevisionMoved = errors.New("store: the catalogue has changed meanwhile: look at the change on top of the current revision and load it again")

// ErrUnavailable says that the database does not answer, or not in time. Whether a
// commit that was under way took place is not known.
var ErrUnavailable = errors.New("store: the database does not answer")

// ConstraintError says that the database refused a value. Nothing was written.
type ConstraintError struct {
	SQLState   string // for example "23514", a check
	Table      string
	Constraint string // for example "species_traits_in_order"; empty when the value could not be stored at all
	Detail     string // the offending row or key, as PostgreSQL words it
	err        error
}

func (e *ConstraintError) Error() string {
	what := e.Constraint
	if what == "" {
		what = "SQLSTATE " + e.SQLState
	}
	msg := "store: the database refuses the data (" + what
	if e.Table != "" {
		msg += " of table " + e.Table
	}
	msg += ")"
	if e.Detail != "" {
		msg += ": " + e.Detail
	}
	return msg
}

// Unwrap gives the driver's error.
func (e *ConstraintError) Unwrap() error { return e.err }

// Classes of SQLSTATE that mean the data is at fault.
const (
	integrityViolation = "23" // constraints
	dataException      = "22" // for example a zero byte in text
)

// ForeignKeyViolation is the SQLSTATE of a reference to what is not there, or has gone in
// the meantime; and of taking away what something refers to.
const ForeignKeyViolation = "23503"

const undefinedTable = "42P01"

// explain turns a driver's error into one of this package's and says what was
// being done.
func explain(doing string, err error) error {
	if err == nil {
		return nil
	}
	if errors.Is(err, pgx.ErrNoRows) {
		return fmt.Errorf("%w: %s", ErrNotFound, doing)
	}
	if full := quotaError(err); full != nil {
		return full
	}
	var pgErr *pgconn.PgError
	if errors.As(err, &pgErr) && len(pgErr.Code) == 5 {
		switch pgErr.Code[:2] {
		case integrityViolation, dataException:
			return &ConstraintError{SQLState: pgErr.Code, Table: pgErr.TableName, Constraint: pgErr.ConstraintName, Detail: pgErr.Detail, err: err}
		}
	}
	if hasCode(err, lockNotAvailable) || hasCode(err, deadlockDetected) || hasCode(err, serializationFailure) {
		return fmt.Errorf("%w: %s", ErrBusy, doing)
	}
	if isUnavailable(err) {
		return fmt.Errorf("%w: %s: %w", ErrUnavailable, doing, err)
	}
	return fmt.Errorf("store: %s: %w", doing, err)
}

// hasCode reports whether err comes from the database with the SQLSTATE.
func hasCode(err error, code string) bool {
	var pgErr *pgconn.PgError
	return errors.As(err, &pgErr) && pgErr.Code == code
}

// Classes of SQLSTATE that mean the server cannot work now.
const (
	connectionException   = "08"
	insufficientResources = "53"
	operatorIntervention  = "57" // shutting down, starting up, cancelled because of a timeout
)

// readOnlyTransaction is the SQLSTATE of a change where none is taken: on a standby that a
// failover has not promoted yet, or where an operator protects a full disk.
const readOnlyTransaction = "25006"

// isUnavailable reports whether an error means that the database is away, overrun or
// too slow, as opposed to having refused something.
func isUnavailable(err error) bool {
	var connecting *pgconn.ConnectError
	if errors.As(err, &connecting) { // whatever the server's reason was: no such database, no such password
		return true
	}
	if hasCode(err, readOnlyTransaction) {
		return true
	}
	var pgErr *pgconn.PgError
	if errors.As(err, &pgErr) {
		switch pgErr.Code[:min(2, len(pgErr.Code))] {
		case connectionException, insufficientResources, operatorIntervention:
			return true
		}
		return false
	}
	var network net.Error
	return errors.As(err, &network) || errors.Is(err, context.DeadlineExceeded) ||
		errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, net.ErrClosed) || pgconn.SafeToRetry(err)
}
