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
	lists    *lists.Lists
	now      func() time.Time
}

// New makes the room. Stored tanks are judged as lists are.
func New(books respond.Books, in *store.Store, contract *validate.Contract, recorder lists.Recorder, judge *lists.Lists, now func() time.Time) *Tanks {
	return &Tanks{books: books, store: in, contract: contract, recorder: recorder, lists: judge, now: now}
}
