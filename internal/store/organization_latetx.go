package store

import (
	"context"
	"time"

	"commensal/internal/store/cataloguerows"
	"commensal/internal/store/driver"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// lateTx is a transaction that begins with its first statement, and in the same message
// where that is a batch: of a transaction with few statements, beginning is the larger part
// of the wait.
type lateTx struct {
	conn  *pgx.Conn
	begin opening
	used  bool // a statement has had an answer, or may have been committed

	last bool // what comes next is all that is left to do
	more bool // something follows whatever is done, so that nothing is the last

	deadline time.Time
	release  []context.CancelFunc
}

// bound makes the deadline of the transaction hold for a statement, whatever context the
// statement is given.
func (t *lateTx) bound(ctx context.Context) context.Context {
	ctx, release := context.WithDeadline(ctx, t.deadline)
	t.release = append(t.release, release)
	return ctx
}

// opening is how a transaction begins.
type opening struct {
	readOnly     bool
	organization uuid.UUID
}

// sql begins alone, in one message. The id is of hexadecimal digits, so it needs no
// quoting.
func (o opening) sql() string {
	begin := "begin; set local lock_timeout = '" + lockPatience + "'; "
	if o.readOnly {
		begin = "begin read only; "
	}
	return begin + asOrganization(o.organization)
}

// lockPatience bounds the wait for a row that another transaction holds. PostgreSQL counts
// it twice: once for the place at the head of those who wait, and once more for the row. Both
// together stay within Options.Patience, so that who waits is told why.
const lockPatience = "700ms"

// asOrganization is the SQL that takes on the service role for an organization.
func asOrganization(id uuid.UUID) string {
	return "set local role " + serviceRole + "; set local app.organization = '" + id.String() + "'"
}

// The same as one statement with parameters, for batches, whose statements are prepared.
const (
	asReader = `SELECT set_config('transaction_read_only', 'on', true), set_config('role', '` + serviceRole + `', true), set_config('app.organization', $1, true)`
	asWriter = `SELECT set_config('lock_timeout', '` + lockPatience + `', true), set_config('role', '` + serviceRole + `', true), set_config('app.organization', $1, true)`
)

// queue begins in a batch. What is sent together is a transaction as it is, committed with the message; begin makes one
// that outlasts it.
func (o opening) queue(batch *pgx.Batch, outlasts bool) {
	if o.readOnly {
		batch.Queue(asReader, o.organization.String())
		return
	}
	if outlasts {
		batch.Queue("begin")
	}
	batch.Queue(asWriter, o.organization.String())
}

// begun reports whether a transaction is open on the connection, be it a failed one.
func (t *lateTx) begun() bool { return t.conn.PgConn().TxStatus() != idle }

// idle is PostgreSQL's word for a connection outside any transaction.
const idle = 'I'

func (t *lateTx) ensure(ctx context.Context) error {
	if t.begun() {
		return nil
	}
	_, err := t.conn.Exec(t.bound(ctx), t.begin.sql())
	t.used = t.used || err == nil
	return err
}

// Exec is the connection's Exec, within the transaction.
func (t *lateTx) Exec(ctx context.Context, sql string, args ...any) (tag pgconn.CommandTag, err error) {
	if len(args) > 0 && !t.begun() { // without parameters it may be several statements
		batch := &pgx.Batch{}
		batch.Queue(sql, args...).Exec(func(of pgconn.CommandTag) error { tag = of; return nil })
		return tag, t.run(ctx, batch)
	}
	if err := t.ensure(ctx); err != nil {
		return pgconn.CommandTag{}, err
	}
	return t.conn.Exec(t.bound(ctx), sql, args...)
}

// Query is the connection's Query, within the transaction.
func (t *lateTx) Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error) {
	if err := t.ensure(ctx); err != nil {
		return nil, err
	}
	return t.conn.Query(t.bound(ctx), sql, args...)
}

// QueryRow is the connection's QueryRow, within the transaction.
func (t *lateTx) QueryRow(ctx context.Context, sql string, args ...any) pgx.Row {
	if err := t.ensure(ctx); err != nil {
		return noRow{err}
	}
	return t.conn.QueryRow(t.bound(ctx), sql, args...)
}

// CopyFrom is the connection's CopyFrom, within the transaction.
func (t *lateTx) CopyFrom(ctx context.Context, table pgx.Identifier, columns []string, rows pgx.CopyFromSource) (int64, error) {
	if err := t.ensure(ctx); err != nil {
		return 0, err
	}
	return t.conn.CopyFrom(t.bound(ctx), table, columns, rows)
}

// SendBatch is the connection's SendBatch, within the transaction. Where that cannot begin
// nothing is sent, and the results are the reason.
func (t *lateTx) SendBatch(ctx context.Context, batch *pgx.Batch) pgx.BatchResults {
	if err := t.ensure(ctx); err != nil {
		over, end := context.WithCancelCause(ctx)
		end(err)
		return t.conn.SendBatch(over, batch)
	}
	return t.conn.SendBatch(t.bound(ctx), batch)
}

// statements is what writes a catalogue: a transaction of either kind.
type statements interface {
	Exec(ctx context.Context, sql string, args ...any) (pgconn.CommandTag, error)
	Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error)
	QueryRow(ctx context.Context, sql string, args ...any) pgx.Row
	CopyFrom(ctx context.Context, table pgx.Identifier, columns []string, rows pgx.CopyFromSource) (int64, error)
	cataloguerows.BatchSender
}

type noRow struct{ err error }

// Scan fails.
func (r noRow) Scan(...any) error { return r.err }

// run sends a batch, within the transaction, and reads all of its results. The first batch begins the transaction in the
// same message, and where it is the last too that is all of it.
func (t *lateTx) run(ctx context.Context, batch *pgx.Batch) error {
	if !t.begun() {
		// Of a transaction that is lost together with the answer nobody knows whether it was committed, so it is not done
		// again on another connection; one that is known to be dead is not used for it.
		alone := t.last && driver.Quiet(t.conn)
		t.used = t.used || alone && !t.begin.readOnly
		whole := &pgx.Batch{}
		t.begin.queue(whole, !alone)
		whole.QueuedQueries = append(whole.QueuedQueries, batch.QueuedQueries...)
		batch = whole
	}
	err := t.conn.SendBatch(t.bound(ctx), batch).Close()
	t.used = t.used || !t.conn.IsClosed()
	return err
}

// end commits when all went well and rolls back otherwise. A connection whose rollback
// fails is closed by the pool.
func (t *lateTx) end(ctx context.Context, err error) error {
	defer func() {
		for _, release := range t.release {
			release()
		}
	}()
	switch {
	case !t.begun():
		return err
	case err != nil:
		_, _ = t.conn.Exec(ctx, "rollback")
		return err
	}
	tag, err := t.conn.Exec(ctx, "commit")
	if err == nil && tag.String() != "COMMIT" {
		err = pgx.ErrTxCommitRollback
	}
	return explain("commit", err)
}
