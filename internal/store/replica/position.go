package replica

import (
	"context"

	"github.com/jackc/pgx/v5"
)

// Position is a place in the log of changes of a cluster, in bytes from its beginning.
type Position int64

// notStandby is what a server says that follows no other.
const notStandby Position = -1

// primarySQL is how far the primary has come. A commit is on disk before it is acknowledged, and what is not on disk
// reaches no replica; only where commits do not wait for the disk must the rest be counted too.
const primarySQL = `SELECT ((CASE current_setting('synchronous_commit') WHEN 'off' THEN pg_current_wal_insert_lsn() ELSE pg_current_wal_flush_lsn() END) - '0/0'::pg_lsn)::int8`

// standbySQL is how far a standby has come: what it has replayed is what its readers see.
const standbySQL = `SELECT CASE WHEN pg_is_in_recovery() THEN coalesce(pg_last_wal_replay_lsn() - '0/0'::pg_lsn, 0)::int8 ELSE -1 END`

// rower is a pool, a connection or a transaction.
type rower interface {
	QueryRow(ctx context.Context, sql string, args ...any) pgx.Row
}

// OfPrimary asks a primary how far it has come: everything that it had acknowledged before lies behind the position.
// A standby refuses.
func OfPrimary(ctx context.Context, db rower) (at Position, err error) {
	err = db.QueryRow(ctx, primarySQL).Scan(&at)
	return at, err
}

func ofStandby(ctx context.Context, db rower) (at Position, err error) {
	err = db.QueryRow(ctx, standbySQL).Scan(&at)
	return at, err
}
