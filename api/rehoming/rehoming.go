// Package rehoming is the desk where fish find homes: proposals of placements that are kept and accepted, adopters' forms,
// and stored tanks of which something else is decided by now.
package rehoming

import (
	"time"

	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/tanks"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// Rehoming is the room.
type Rehoming struct {
	books respond.Books
	store *store.Store // nil where there is no database
	lists *lists.Lists
	tanks *tanks.Tanks
	now   func() time.Time
	last  uuid.UUID // the organization whose tanks were screened last; one pass runs at a time
}

// New makes the room. Tanks are judged as lists are.
func New(books respond.Books, in *store.Store, lists *lists.Lists, tanks *tanks.Tanks, now func() time.Time) *Rehoming {
	return &Rehoming{books: books, store: in, lists: lists, tanks: tanks, now: now}
}
