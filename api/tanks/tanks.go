// Package tanks stores tanks with their residents and readings, and judges them as they stand.
package tanks

import (
	"time"

	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/internal/store"
)

// Tanks stores tanks with their residents and readings, and judges them.
type Tanks struct {
	books    respond.Books
	store    *store.Store // nil where there is no database
	contract *validate.Contract
	recorder lists.Recorder
	cache    *respond.Cache[lists.Key]
	now      func() time.Time
}

// New makes the room.
func New(books respond.Books, in *store.Store, contract *validate.Contract, recorder lists.Recorder, cache *respond.Cache[lists.Key], now func() time.Time) *Tanks {
	return &Tanks{books: books, store: in, contract: contract, recorder: recorder, cache: cache, now: now}
}
