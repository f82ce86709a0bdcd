package driver

import (
	"context"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// Bounded is a transaction whose statements end with the transaction's own context, which
// is its caller's with the time that the store allows. What is done inside has a context at
// hand that knows nothing of that time, and one statement with the wrong one would hold
// a connection for as long as somebody else holds a lock.
type Bounded struct {
	pgx.Tx
	Within context.Context
}

// Exec is pgx.Tx.Exec within the time of the transaction.
func (b Bounded) Exec(_ context.Context, sql string, args ...any) (pgconn.CommandTag, error) {
	return b.Tx.Exec(b.Within, sql, args...)
}

// Query is pgx.Tx.Query within the time of the transaction.
func (b Bounded) Query(_ context.Context, sql string, args ...any) (pgx.Rows, error) {
	return b.Tx.Query(b.Within, sql, args...)
}

// QueryRow is pgx.Tx.QueryRow within the time of the transaction.
func (b Bounded) QueryRow(_ context.Context, sql string, args ...any) pgx.Row {
	return b.Tx.QueryRow(b.Within, sql, args...)
}

// SendBatch is pgx.Tx.SendBatch within the time of the transaction.
func (b Bounded) SendBatch(_ context.Context, batch *pgx.Batch) pgx.BatchResults {
	return b.Tx.SendBatch(b.Within, batch)
}

// CopyFrom is pgx.Tx.CopyFrom within the time of the transaction.
func (b Bounded) CopyFrom(_ context.Context, table pgx.Identifier, columns []string, rows pgx.CopyFromSource) (int64, error) {
	return b.Tx.CopyFrom(b.Within, table, columns, rows)
}
