package store

import (
	"context"
	"time"

	"commensal/internal/store/migration"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// The roles that do all work for organizations.
const serviceRole, keeperRole = migration.ServiceRole, migration.KeeperRole

// Tx is a transaction that acts for one organization. It sees and changes what belongs
// to that one alone: every statement says so, and row-level security holds it to that
// where one should forget.
//
// Ids of other organizations' things are [ErrNotFound], exactly as ids of nothing.
type Tx struct {
	tx           *lateTx
	organization uuid.UUID
}

// Organization is whom the transaction acts for.
func (t *Tx) Organization() uuid.UUID { return t.organization }

// Last says that the next statement of the caller is the last one. Where it is the first too it goes to the database in one
// message with what begins and commits the transaction, and what the caller does after it cannot undo it: the function given
// to [Store.Write] must not fail any more. Where the answer is kept for repeats ([Store.WriteOnce]) it says nothing.
func (t *Tx) Last() *Tx {
	t.tx.last = !t.tx.more
	return t
}

// Read runs do in a read-only transaction of an organization. It takes no longer than
// Options.Patience and fails with [ErrUnavailable] when the database does not answer.
func (s *Store) Read(ctx context.Context, organization uuid.UUID, do func(*Tx) error) error {
	return s.as(ctx, s.opts.Patience, opening{true, organization}, do)
}

// Write runs do in a transaction of an organization, which is committed when do returns
// nil and leaves nothing behind otherwise. The promises of [Store.Read] hold; after
// [ErrUnavailable] the commit may have taken place all the same. Where the connection turns
// out to be dead before anything was done, do runs again on another.
func (s *Store) Write(ctx context.Context, organization uuid.UUID, do func(*Tx) error) error {
	return s.as(ctx, s.opts.Patience, opening{false, organization}, do)
}

func (s *Store) as(ctx context.Context, patience time.Duration, begin opening, do func(*Tx) error) error {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	for attempt := int32(0); ; attempt++ {
		dead, err := s.tryAs(ctx, begin, do)
		if !dead || attempt == s.opts.MaxConns || ctx.Err() != nil {
			return err
		}
	}
}

// tryAs runs do once. dead reports that it failed on its first statement because the
// connection had been lost before.
func (s *Store) tryAs(ctx context.Context, begin opening, do func(*Tx) error) (dead bool, err error) {
	conn, err := s.pool.Acquire(ctx)
	if err != nil {
		return false, explain("connect", err)
	}
	defer conn.Release()
	tx := &lateTx{conn: conn.Conn(), begin: begin}
	tx.deadline, _ = ctx.Deadline()
	err = do(&Tx{tx, begin.organization})
	dead = err != nil && !tx.used && conn.Conn().IsClosed()
	return dead, tx.end(ctx, err)
}

// ask runs queries of an organization in one message, which is a read-only transaction.
func (s *Store) ask(ctx context.Context, doing string, organization uuid.UUID, queue func(*pgx.Batch)) error {
	return askBy(s.Read, ctx, doing, organization, queue)
}

// reading is [Store.Read] or [Store.ReadAnywhere].
type reading func(ctx context.Context, organization uuid.UUID, do func(*Tx) error) error

// askBy is [Store.ask] where a reading is made.
func askBy(read reading, ctx context.Context, doing string, organization uuid.UUID, queue func(*pgx.Batch)) error {
	return read(ctx, organization, func(t *Tx) error {
		batch := &pgx.Batch{}
		queue(batch)
		return explain(doing, t.tx.run(ctx, batch))
	})
}

// scoped runs a transaction that begins with the given SQL. What do itself reports passes
// unchanged; what goes wrong around it is explained.
func (s *Store) scoped(ctx context.Context, begin string, do func(pgx.Tx) error) error {
	var own error
	err := s.inTxOf(ctx, pgx.TxOptions{BeginQuery: begin}, func(tx pgx.Tx) error {
		own = do(tx)
		return own
	})
	if err == nil || own != nil {
		return own
	}
	return explain("a transaction", err)
}

// keeper runs do as the keeper.
func (s *Store) keeper(ctx context.Context, do func(pgx.Tx) error) error {
	ctx, cancel := context.WithTimeout(ctx, s.opts.Patience)
	defer cancel()
	return s.scoped(ctx, "begin; set local role "+keeperRole, do)
}

// ActFor makes the rest of do act for another organization: an admin's right, which the
// caller has checked. It returns what goes back to the one before.
func (t *Tx) ActFor(ctx context.Context, organization uuid.UUID) (back func() error, err error) {
	before := t.organization
	if err := t.become(ctx, organization); err != nil {
		return nil, err
	}
	return func() error { return t.become(ctx, before) }, nil
}

func (t *Tx) become(ctx context.Context, organization uuid.UUID) error {
	if organization == t.organization {
		return nil
	}
	if _, err := t.tx.Exec(ctx, asOrganization(organization)); err != nil {
		return explain("act for an organization", err)
	}
	t.organization = organization
	return nil
}
