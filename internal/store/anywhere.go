package store

import (
	"context"
	"errors"
	"fmt"
	"time"

	"commensal/internal/store/cataloguerows"
	"commensal/internal/store/replica"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// How long a read is held up by a replica at most, before it is made on the primary.
const (
	// replicaWait is what a replica gets to catch up: a hundred times what it needs where it is well.
	replicaWait = 100 * time.Millisecond
	// replicaPatience is a third of Options.Patience as it is usually, so that as much is left to the primary as it ever needs.
	replicaPatience = 600 * time.Millisecond
	// replicaEvery is how soon one that is gone is found again.
	replicaEvery = 500 * time.Millisecond
)

func (s *Store) openReplica(ctx context.Context) (*replica.Replica, error) {
	config, err := pgxpool.ParseConfig(s.opts.ReplicaDSN)
	if err != nil {
		return nil, fmt.Errorf("store: open the replica: %w", err)
	}
	s.opts.tune(config)
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, fmt.Errorf("store: open the replica: %w", err)
	}
	primary := func(ctx context.Context) (replica.Position, error) { return replica.OfPrimary(ctx, s.pool) }
	return replica.New(pool, primary, replica.Options{Wait: replicaWait, Patience: replicaPatience, MaxLag: s.opts.ReplicaMaxLag, Every: replicaEvery}), nil
}

// FollowReplica looks after the replica until ctx ends, and tells of each change of whether it is read from. Without
// one it returns at once.
func (s *Store) FollowReplica(ctx context.Context, told func(replica.State)) {
	if s.replica != nil {
		s.replica.Follow(ctx, told)
	}
}

// ReplicaState is what is known of the replica; ok is false where there is none. It asks nobody.
func (s *Store) ReplicaState() (state replica.State, ok bool) {
	if s.replica == nil {
		return state, false
	}
	return s.replica.State(), true
}

// ReadAnywhere is [Store.Read] for lists, histories and whatever else may be read from a copy: on the replica where there
// is one that has all that was committed before, by anybody, and on the primary otherwise. do runs again on the
// primary where the replica fails in the middle. Both together take no longer than [Store.Read] alone. Nothing that is read
// here may decide what is written.
func (s *Store) ReadAnywhere(ctx context.Context, organization uuid.UUID, do func(*Tx) error) error {
	ctx, cancel := context.WithTimeout(ctx, s.opts.Patience)
	defer cancel()
	if err := s.readReplica(ctx, replicaPatience, organization, do); !errors.Is(err, errPrimary) {
		return err
	}
	return s.Read(ctx, organization, do)
}

// errPrimary says that a read is to be made on the primary.
var errPrimary = errors.New("store: to be read on the primary")

// readReplica reads on the replica, or is errPrimary.
func (s *Store) readReplica(ctx context.Context, patience time.Duration, organization uuid.UUID, do func(*Tx) error) error {
	begin := opening{true, organization}
	return s.onReplica(ctx, patience, begin.sql(), func(ctx context.Context, conn *pgx.Conn) error {
		tx := &lateTx{conn: conn, begin: begin}
		tx.deadline, _ = ctx.Deadline()
		return tx.end(ctx, do(&Tx{tx, organization}))
	})
}

// onReplica runs do in a transaction of the replica, which do ends, or is errPrimary.
func (s *Store) onReplica(ctx context.Context, patience time.Duration, begin string, do func(context.Context, *pgx.Conn) error) error {
	if s.replica == nil {
		return errPrimary
	}
	lease := s.replica.Begin(ctx, begin)
	if lease == nil {
		return errPrimary
	}
	within, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	err := do(within, lease.Conn())
	away := errors.Is(err, ErrUnavailable)
	if away || errors.Is(err, ErrBusy) || ctx.Err() != nil { // busy is a replay that was in the way
		lease.Failed(away && ctx.Err() == nil)
		return errPrimary
	}
	lease.Served()
	return err
}

// queryable is a pool or a connection.
type queryable interface {
	querier
	cataloguerows.BatchSender
}

// lookAnywhere is [Store.ReadAnywhere] for what belongs to no organization. What do returns is explained already.
func (s *Store) lookAnywhere(ctx context.Context, do func(context.Context, queryable) error) error {
	ctx, cancel := context.WithTimeout(ctx, s.opts.Patience)
	defer cancel()
	err := s.onReplica(ctx, replicaPatience, "begin read only", func(ctx context.Context, conn *pgx.Conn) error {
		err := do(ctx, conn)
		if _, ended := conn.Exec(ctx, "rollback"); err == nil {
			err = explain("end the reading", ended)
		}
		return err
	})
	if !errors.Is(err, errPrimary) {
		return err
	}
	return do(ctx, s.pool)
}
