package store

import (
	"context"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// The roles that do all work for organizations; migration 6 makes them. Neither can go
// around row-level security.
const (
	serviceRole = "commensal_service" // acts for one organization at a time
	keeperRole  = "commensal_keeper"  // finds out whose a key is; of what is stored it sees how many reports there are
)

// Tx is a transaction that acts for one organization. It sees and changes what belongs
// to that one alone: every statement says so, and row-level security holds it to that
// where one should forget.
//
// Ids of other organizations' things are [ErrNotFound], exactly as ids of nothing.
type Tx struct {
	tx           pgx.Tx
	organization uuid.UUID
}

// Organization is whom the transaction acts for.
func (t *Tx) Organization() uuid.UUID { return t.organization }

// Read runs do in a read-only transaction of an organization. It takes no longer than
// Options.Patience and fails with [ErrUnavailable] when the database does not answer.
func (s *Store) Read(ctx context.Context, organization uuid.UUID, do func(*Tx) error) error {
	return s.as(ctx, "begin read only; "+asOrganization(organization), organization, do)
}

// Write runs do in a transaction of an organization, which is committed when do returns
// nil and leaves nothing behind otherwise. The promises of [Store.Read] hold; after
// [ErrUnavailable] the commit may have taken place all the same.
func (s *Store) Write(ctx context.Context, organization uuid.UUID, do func(*Tx) error) error {
	return s.as(ctx, beginWrite+asOrganization(organization), organization, do)
}

// beginWrite bounds the wait for a row that another transaction holds.
const beginWrite = "begin; set local lock_timeout = '1s'; "

// asOrganization is the SQL that takes on the service role for an organization. It goes
// in one message with begin; the id is of hexadecimal digits, so it needs no quoting.
func asOrganization(id uuid.UUID) string {
	return "set local role " + serviceRole + "; set local app.organization = '" + id.String() + "'"
}

func (s *Store) as(ctx context.Context, begin string, organization uuid.UUID, do func(*Tx) error) error {
	ctx, cancel := context.WithTimeout(ctx, s.opts.Patience)
	defer cancel()
	return s.scoped(ctx, begin, func(tx pgx.Tx) error { return do(&Tx{tx, organization}) })
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
	return explain("a transaction of an organization", err)
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
