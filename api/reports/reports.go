// Package reports files keeping reports: what was seen of two species that were kept together.
package reports

import (
	"time"

	"commensal/api/respond"
	"commensal/internal/store"
)

// Reports files what keepers saw of two species kept together.
type Reports struct {
	books respond.Books
	store *store.Store // nil where there is no database
	now   func() time.Time
}

// New makes the room.
func New(books respond.Books, in *store.Store, now func() time.Time) *Reports {
	return &Reports{books: books, store: in, now: now}
}
