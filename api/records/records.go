// Package records stores checks as they were decided, overrides those on hold, exports them, and judges them again with
// today's catalogue and model.
package records

import (
	"log/slog"

	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/work"
	"commensal/internal/conflict"
	"commensal/internal/store"

	lru "github.com/hashicorp/golang-lru/v2"
)

// Records stores checks as they were decided, overrides those on hold, and judges them again.
type Records struct {
	books    respond.Books
	contract *validate.Contract
	store    *store.Store // nil where there is no database
	logger   *slog.Logger
	desk     *work.Desk
	past     *lru.Cache[int64, *conflict.Book] // of older revisions, for replays
	exports  *exports
}

// New makes the room. Lists are judged at the desk.
func New(books respond.Books, in *store.Store, contract *validate.Contract, desk *work.Desk, logger *slog.Logger) *Records {
	past, _ := lru.New[int64, *conflict.Book](maxPast) // fails only for a size below 1
	return &Records{books: books, store: in, contract: contract, desk: desk, logger: logger, past: past, exports: newExports()}
}
