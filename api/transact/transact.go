// Package transact reads and writes what is stored on behalf of whoever asks: each in one transaction, and a write
// together with the answer that a repeat of the request gets.
package transact

import (
	"context"

	"commensal/api/respond"
	"commensal/internal/store"
)

// Read runs a handler's reading part for the organization of the call.
func Read(ctx context.Context, in *store.Store, do func(*store.Tx) error) error {
	if in == nil {
		return respond.ErrDatabaseAway
	}
	return respond.StoreFault(in.Read(ctx, CallOf(ctx).Organization, do))
}

// Write runs a handler's writing part for the organization of the call, in a transaction
// together with the answer to be repeated where an Idempotency-Key asks for that. do makes
// the whole answer: it is sent when all of it is committed.
func Write(ctx context.Context, in *store.Store, do func(*store.Tx) (*respond.Reply, error)) (*respond.Reply, error) {
	if in == nil {
		return nil, respond.ErrDatabaseAway
	}
	c := CallOf(ctx)
	var first *respond.Reply
	if c.Once == nil {
		err := in.Write(ctx, c.Organization, func(tx *store.Tx) (err error) {
			first, err = do(tx)
			return err
		})
		return first, respond.StoreFault(err)
	}
	before, replayed, err := in.WriteOnce(ctx, c.Organization, *c.Once, func(tx *store.Tx) (store.Answer, error) {
		var err error
		if first, err = do(tx); err != nil {
			return store.Answer{}, err
		}
		return stored(first), nil
	})
	if err != nil || !replayed {
		return first, respond.StoreFault(err)
	}
	return repeated(before), nil
}

// stored is the part of a reply that makes it again.
func stored(r *respond.Reply) store.Answer {
	a := store.Answer{Status: r.Status, Headers: map[string]string{"etag": r.ETag, "location": r.Location}, Body: r.Body}
	if r.Repeat != nil {
		a.Body = r.Repeat
	}
	return a
}

// repeated is the reply of the request before.
func repeated(a store.Answer) *respond.Reply {
	return &respond.Reply{Status: a.Status, Media: respond.JSONType, ETag: a.Headers["etag"], Location: a.Headers["location"], Caching: respond.NoStore,
		Body: a.Body, Replayed: true}
}
