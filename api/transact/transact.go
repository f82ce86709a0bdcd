// Package transact reads and writes what is stored on behalf of whoever asks: each in one transaction, and a write
// together with the answer that a repeat of the request gets. A request that holds a place at the desk gives it back before it
// waits for the database.
package transact

import (
	"cmp"
	"crypto/sha256"
	"net/http"

	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/work"
	"commensal/internal/store"

	"github.com/labstack/echo/v4"
)

// Read runs a handler's reading part for the organization of whoever asks.
func Read(c echo.Context, in *store.Store, do func(*store.Tx) error) error {
	if in == nil {
		return respond.ErrDatabaseAway
	}
	work.Rise(c.Request().Context())
	return respond.StoreFault(in.Read(c.Request().Context(), Who(c).Organization, do))
}

// ReadAnywhere is [Read] for lists and histories, which a replica of the database may serve: it has all that was
// committed when it is asked, or the primary serves. do may run twice, and nothing that it reads may decide what is
// written.
func ReadAnywhere(c echo.Context, in *store.Store, do func(*store.Tx) error) error {
	if in == nil {
		return respond.ErrDatabaseAway
	}
	work.Rise(c.Request().Context())
	return respond.StoreFault(in.ReadAnywhere(c.Request().Context(), Who(c).Organization, do))
}

// Write runs a handler's writing part for the organization of whoever asks, in a transaction
// together with the answer to be repeated where an Idempotency-Key asks for that. do makes
// the whole answer: it is sent when all of it is committed.
func Write(c echo.Context, in *store.Store, do func(*store.Tx) (*respond.Reply, error)) (*respond.Reply, error) {
	if in == nil {
		return nil, respond.ErrDatabaseAway
	}
	work.Rise(c.Request().Context())
	once, wanted := onceOf(c)
	if !wanted {
		return writeEachTime(c, in, do)
	}
	var first *respond.Reply
	before, replayed, err := in.WriteOnce(c.Request().Context(), Who(c).Organization, once, func(tx *store.Tx) (store.Answer, error) {
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

func writeEachTime(c echo.Context, in *store.Store, do func(*store.Tx) (*respond.Reply, error)) (answer *respond.Reply, err error) {
	err = in.Write(c.Request().Context(), Who(c).Organization, func(tx *store.Tx) (err error) {
		answer, err = do(tx)
		return err
	})
	return answer, respond.StoreFault(err)
}

// onceOf is what tells a request from others that is to be carried out once: a POST with an Idempotency-Key.
func onceOf(c echo.Context) (once store.Once, wanted bool) {
	r := c.Request()
	key := r.Header.Get("Idempotency-Key")
	if key == "" || r.Method != http.MethodPost {
		return once, false
	}
	return store.Once{Key: key, Operation: r.Method + " " + r.URL.RequestURI(), Body: sha256.Sum256(validate.Text(c))}, true
}

// stored is the part of a reply that makes it again.
func stored(r *respond.Reply) store.Answer {
	a := store.Answer{Status: r.Status, Headers: map[string]string{"etag": r.ETag, "location": r.Location, "media": r.Media, "vary": r.Vary}, Body: r.Body}
	if r.Repeat != nil {
		a.Body = r.Repeat
	}
	return a
}

// repeated is the reply of the request before.
func repeated(a store.Answer) *respond.Reply {
	media := cmp.Or(a.Headers["media"], respond.JSONType) // answers of an older program do not say it
	return &respond.Reply{Status: a.Status, Media: media, Vary: a.Headers["vary"], ETag: a.Headers["etag"], Location: a.Headers["location"], Caching: respond.NoStore,
		Body: a.Body, Replayed: true}
}
