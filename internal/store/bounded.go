package store

import (
	"context"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// bounded is a transaction whose statements end with the transaction's own context, which
// is its caller's with the time that the store allows. What is done inside has a context at
// hand that knows nothing of that time, and one statement with the wrong one would hold
// a connection for as long as somebody else holds a lock.
type bounded struct {
	pgx.Tx
	ctx context.Context
}

// Exec is pgx.Tx.Exec within the time of the transaction.
func (b bounded) Exec(_ context.Context, sql string, args ...any) (pgconn.CommandTag, error) {
	return b.Tx.Exec(b.ctx, sql, args...)
}

// Query is pgx.Tx.Query within the time of the transaction.
func (b bounded) Query(_ context.Context, sql string, args ...any) (pgx.Rows, error) {
	return b.Tx.Query(b.ctx, sql, args...)
}

// QueryRow is pgx.Tx.QueryRow within the time of the transaction.
func (b bounded) QueryRow(_ context.Context, sql string, args ...any) pgx.Row {
	return b.Tx.QueryRow(b.ctx, sql, args...)
}

// SendBatch is pgx.Tx.SendBatch within the time of the transaction.
func (b bounded) SendBatch(_ context.Context, batch *pgx.Batch) pgx.BatchResults {
	return b.Tx.SendBatch(b.ctx, batch)
}

// CopyFrom is pgx.Tx.CopyFrom within the time of the transaction.
func (b bounded) CopyFrom(_ context.Context, table pgx.Identifier, columns []string, rows pgx.CopyFromSource) (int64, error) {
	return b.Tx.CopyFrom(b.ctx, table, columns, rows)
}
