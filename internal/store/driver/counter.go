package driver

import (
	"context"
	"sync/atomic"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// CallCounter counts what goes to the database. Set it as the Tracer of a store to prove
// that a piece of work makes no database call: whatever a method of the store does
// first takes a connection from the pool, and that is counted too. Only
// Watching, which has a connection of its own, adds statements alone.
type CallCounter struct {
	statements, connections atomic.Int64
}

var (
	_ pgx.QueryTracer       = (*CallCounter)(nil)
	_ pgx.BatchTracer       = (*CallCounter)(nil)
	_ pgx.CopyFromTracer    = (*CallCounter)(nil)
	_ pgxpool.AcquireTracer = (*CallCounter)(nil)
)

// Statements is the number of statements sent so far: queries, each query of a
// batch, copies and the statements that begin and end transactions.
func (c *CallCounter) Statements() int64 { return c.statements.Load() }

// Connections is the number of times a connection was taken from the pool.
func (c *CallCounter) Connections() int64 { return c.connections.Load() }

// TraceQueryStart counts a query.
func (c *CallCounter) TraceQueryStart(ctx context.Context, _ *pgx.Conn, _ pgx.TraceQueryStartData) context.Context {
	c.statements.Add(1)
	return ctx
}

// TraceQueryEnd does nothing.
func (c *CallCounter) TraceQueryEnd(context.Context, *pgx.Conn, pgx.TraceQueryEndData) {}

// TraceBatchStart does nothing; the queries of a batch are counted singly.
func (c *CallCounter) TraceBatchStart(ctx context.Context, _ *pgx.Conn, _ pgx.TraceBatchStartData) context.Context {
	return ctx
}

// TraceBatchQuery counts a query of a batch.
func (c *CallCounter) TraceBatchQuery(context.Context, *pgx.Conn, pgx.TraceBatchQueryData) {
	c.statements.Add(1)
}

// TraceBatchEnd does nothing.
func (c *CallCounter) TraceBatchEnd(context.Context, *pgx.Conn, pgx.TraceBatchEndData) {}

// TraceCopyFromStart counts a copy.
func (c *CallCounter) TraceCopyFromStart(ctx context.Context, _ *pgx.Conn, _ pgx.TraceCopyFromStartData) context.Context {
	c.statements.Add(1)
	return ctx
}

// TraceCopyFromEnd does nothing.
func (c *CallCounter) TraceCopyFromEnd(context.Context, *pgx.Conn, pgx.TraceCopyFromEndData) {}

// TraceAcquireStart counts a connection taken from the pool.
func (c *CallCounter) TraceAcquireStart(ctx context.Context, _ *pgxpool.Pool, _ pgxpool.TraceAcquireStartData) context.Context {
	c.connections.Add(1)
	return ctx
}

// TraceAcquireEnd does nothing.
func (c *CallCounter) TraceAcquireEnd(context.Context, *pgxpool.Pool, pgxpool.TraceAcquireEndData) {}
