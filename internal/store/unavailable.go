package store

import (
	"context"
	"errors"
	"io"
	"net"

	"github.com/jackc/pgx/v5/pgconn"
)

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
