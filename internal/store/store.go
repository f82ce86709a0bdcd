package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"sync/atomic"
	"time"

	"commensal/internal/store/driver"
	"commensal/internal/store/migration"
	"commensal/internal/store/replica"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Options tune the connections.
type Options struct {
	// MaxConns bounds the pool. Zero means 8, the best median at 32 clients on
	// two cores; more helps only where the database has more.
	MaxConns int32
	// MinConns are kept open, so that a request seldom waits for a connection to
	// be made (about 5 ms). Zero means 2, never more than MaxConns.
	MinConns int32
	// ConnectTimeout bounds the making of one connection. Zero means 5 seconds.
	ConnectTimeout time.Duration
	// Patience bounds what is done for one organization, from the wait for a
	// connection to the commit: whoever asks is told that the database is away
	// rather than kept waiting. Zero means 1.8 seconds.
	Patience time.Duration
	// PollInterval is how often Watch and WatchReports look for what no notification
	// told them of. Zero means 1 second, so that a replica that hears nothing is less than
	// two behind; each look reads one row.
	PollInterval time.Duration
	// WatchDSN is where Watch and WatchReports listen, each on one connection. Empty is the database of the
	// pool itself; a pooler that gives connections away between transactions cannot be listened on.
	WatchDSN string
	// ReplicaDSN is a hot standby for reads that need not be made where it is written ([Store.ReadAnywhere]), with as
	// many connections again. Empty is none. [Store.FollowReplica] has to run for it to be read from.
	ReplicaDSN string
	// ReplicaMaxLag is how far behind a replica may be to be asked at all, up to a minute. Zero means 2 seconds. A read
	// there has all that was committed before it in any case.
	ReplicaMaxLag time.Duration
	// Migrations are the migrations this program was built with, *.sql at the
	// root. CheckSchema compares the database with the newest of them.
	Migrations fs.FS
	// Tracer sees every statement, for example a *driver.CallCounter in a test or a
	// span maker. Nil means none.
	Tracer pgx.QueryTracer
}

func (o Options) withDefaults() Options {
	if o.MaxConns <= 0 {
		o.MaxConns = 8
	}
	if o.MinConns <= 0 {
		o.MinConns = 2
	}
	o.MinConns = min(o.MinConns, o.MaxConns)
	if o.ConnectTimeout <= 0 {
		o.ConnectTimeout = 5 * time.Second
	}
	if o.Patience <= 0 {
		o.Patience = 1800 * time.Millisecond
	}
	if o.PollInterval <= 0 {
		o.PollInterval = time.Second
	}
	if o.ReplicaMaxLag <= 0 {
		o.ReplicaMaxLag = 2 * time.Second
	}
	return o
}

// Store is the database. Its methods are safe for concurrent use and honour
// their context.
type Store struct {
	pool    *pgxpool.Pool
	watched *pgx.ConnConfig  // how what watches connects
	replica *replica.Replica // nil for none
	opts    Options
	want    uint // schema version of opts.Migrations, 0 when there are none
	// watching is set while Watch would hear of a new revision.
	watching atomic.Bool
}

// Open prepares a pool of connections to dsn, a URL or a keyword=value string. It
// makes them in the background and does not wait for the database, so that a
// service can start and answer from memory while the database is away; use
// [Store.Ping] to find out. It fails when dsn or the migrations cannot be read.
func Open(ctx context.Context, dsn string, opts Options) (*Store, error) {
	opts = opts.withDefaults()
	config, err := pgxpool.ParseConfig(dsn)
	if err != nil {
		return nil, fmt.Errorf("store: open: %w", err)
	}
	watched := config.ConnConfig
	if opts.WatchDSN != "" {
		if watched, err = pgx.ParseConfig(opts.WatchDSN); err != nil {
			return nil, fmt.Errorf("store: open what is watched: %w", err)
		}
	}
	opts.tune(config)
	opts.tuneConn(watched)
	s := &Store{opts: opts, watched: watched}
	if opts.Migrations != nil {
		if s.want, err = migration.Latest(opts.Migrations); err != nil {
			return nil, err
		}
	}
	if s.pool, err = pgxpool.NewWithConfig(ctx, config); err != nil {
		return nil, fmt.Errorf("store: open: %w", err)
	}
	if opts.ReplicaDSN != "" {
		if s.replica, err = s.openReplica(ctx); err != nil {
			s.pool.Close()
			return nil, err
		}
	}
	return s, nil
}

// tune sets what is the same for every pool.
func (o Options) tune(config *pgxpool.Config) {
	config.MaxConns, config.MinConns = o.MaxConns, o.MinConns
	config.AfterConnect = driver.KnowUUIDs
	o.tuneConn(config.ConnConfig)
}

func (o Options) tuneConn(conn *pgx.ConnConfig) {
	conn.ConnectTimeout, conn.Tracer = o.ConnectTimeout, o.Tracer
	if _, named := conn.RuntimeParams["application_name"]; !named {
		conn.RuntimeParams["application_name"] = "commensal"
	}
}

// Close waits for the statements under way and closes all connections.
func (s *Store) Close() {
	if s.replica != nil {
		s.replica.Close()
	}
	s.pool.Close()
}

// Ping returns nil when the database answers.
func (s *Store) Ping(ctx context.Context) error {
	if err := s.pool.Ping(ctx); err != nil {
		return fmt.Errorf("store: ping: %w", err)
	}
	return nil
}

// PoolState is how busy the connections are that requests share.
type PoolState struct {
	InUse, Idle, Most int32
	Waits             int64 // for a connection, since the store was opened
}

// PoolState is the present state of the pool. It asks nobody.
func (s *Store) PoolState() PoolState {
	stat := s.pool.Stat()
	return PoolState{InUse: stat.AcquiredConns(), Idle: stat.IdleConns(), Most: stat.MaxConns(), Waits: stat.EmptyAcquireCount()}
}

// inTx is [Store.inTxOf] with no options.
func (s *Store) inTx(ctx context.Context, do func(pgx.Tx) error) error {
	return s.inTxOf(ctx, pgx.TxOptions{}, do)
}

// inTxOf runs do in a transaction, which it commits when do returns nil
// and rolls back otherwise. A failed commit is returned as do's failure would be.
//
// After a restart of the database the pool still holds connections that are dead.
// A transaction that could not begin on one is begun on another; once begun it is
// never repeated.
func (s *Store) inTxOf(ctx context.Context, options pgx.TxOptions, do func(pgx.Tx) error) error {
	for range s.opts.MaxConns {
		retry, err := s.tryTx(ctx, options, do)
		if !retry || ctx.Err() != nil {
			return err
		}
	}
	_, err := s.tryTx(ctx, options, do)
	return err
}

func (s *Store) tryTx(ctx context.Context, options pgx.TxOptions, do func(pgx.Tx) error) (retry bool, err error) {
	conn, err := s.pool.Acquire(ctx)
	if err != nil {
		return false, err
	}
	defer conn.Release()
	begun := false
	err = pgx.BeginTxFunc(ctx, conn, options, func(tx pgx.Tx) error {
		begun = true
		return do(driver.Bounded{Tx: tx, Within: ctx})
	})
	return err != nil && !begun && conn.Conn().IsClosed(), err
}

// CheckSchema returns nil when the database has exactly the migrations this
// program was built with (Options.Migrations), and a [migration.SchemaError] when it has
// more, fewer or a broken one. It writes nothing.
func (s *Store) CheckSchema(ctx context.Context) error {
	if s.want == 0 {
		return errors.New("store: check schema: the store was opened without migrations to compare with")
	}
	have, dirty, err := migration.Version(ctx, s.pool)
	if err != nil {
		return explain("check the schema", err)
	}
	if have != s.want || dirty {
		return &migration.SchemaError{Have: have, Want: s.want, Dirty: dirty}
	}
	return nil
}
