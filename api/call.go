package api

import (
	"context"
	"crypto/sha256"
	"net/http"

	"commensal/internal/auth"
	"commensal/internal/store"
)

// call is what a handler of an operation with a key knows of its request beside the
// parameters and the body.
type call struct {
	*auth.Principal
	once *store.Once // of a POST with an Idempotency-Key; nil otherwise
	head bool        // no body is wanted
}

type callKey struct{}

// callOf is the call behind a context; nil on an operation without a key.
func callOf(ctx context.Context) *call {
	c, _ := ctx.Value(callKey{}).(*call)
	return c
}

// read notes the body of a POST that is to be carried out once.
func (c *call) read(r *http.Request, body []byte) {
	if key := r.Header.Get("Idempotency-Key"); key != "" && r.Method == http.MethodPost {
		c.once = &store.Once{Key: key, Operation: r.Method + " " + r.URL.RequestURI(), Body: sha256.Sum256(body)}
	}
}

// read runs a handler's reading part for the organization of the call.
func (s *Server) read(ctx context.Context, do func(*store.Tx) error) error {
	if s.cfg.Store == nil {
		return errDatabaseAway
	}
	return storeFault(s.cfg.Store.Read(ctx, callOf(ctx).Organization, do))
}

// write runs a handler's writing part for the organization of the call, in a transaction
// together with the answer to be kept where an Idempotency-Key asks for that. do makes
// the whole answer: it is sent when all of it is committed.
func (s *Server) write(ctx context.Context, do func(*store.Tx) (*reply, error)) (*reply, error) {
	if s.cfg.Store == nil {
		return nil, errDatabaseAway
	}
	c := callOf(ctx)
	var first *reply
	if c.once == nil {
		err := s.cfg.Store.Write(ctx, c.Organization, func(tx *store.Tx) (err error) {
			first, err = do(tx)
			return err
		})
		return first, storeFault(err)
	}
	kept, replayed, err := s.cfg.Store.WriteOnce(ctx, c.Organization, *c.once, func(tx *store.Tx) (store.Answer, error) {
		var err error
		if first, err = do(tx); err != nil {
			return store.Answer{}, err
		}
		return first.toKeep(), nil
	})
	if err != nil || !replayed {
		return first, storeFault(err)
	}
	return replayOf(kept), nil
}

// toKeep is the part of a reply that makes it again.
func (r *reply) toKeep() store.Answer {
	a := store.Answer{Status: r.status, Headers: map[string]string{"etag": r.etag, "location": r.made}, Body: r.body}
	if r.repeat != nil {
		a.Body = r.repeat
	}
	return a
}

func replayOf(a store.Answer) *reply {
	return &reply{status: a.Status, media: jsonType, etag: a.Headers["etag"], made: a.Headers["location"], caching: transient,
		body: a.Body, replayed: true}
}
