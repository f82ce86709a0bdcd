// Package lists judges whole lists and tanks that come with the request: checks, additions, groupings and
// placements. It leads from the wire to the core and back.
package lists

import (
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/work"
	"commensal/internal/conflict"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// Lists answers what is asked of whole lists and whole tanks, none of which is stored.
type Lists struct {
	books    respond.Books
	cache    *respond.Cache[Key]
	desk     *work.Desk
	recorder Recorder
	adopters Adopters
	shelf    Shelf
}

// Recorder judges a list and stores what was asked and answered. tank is the stored tank, if it is one.
type Recorder interface {
	Record(c echo.Context, q *Question, ref *string, tank *uuid.UUID) (*respond.Reply, error)
}

// Adopters puts what is stored of the tanks named by id into a request, as if it had been given
// there. stored reports whether there were any.
type Adopters interface {
	FetchAdopters(c echo.Context, in *gen.PlacementsRequest) (stored bool, err error)
}

// New makes the room. The encoded answers take at most so many bytes; lists are judged at
// the desk.
func New(books respond.Books, desk *work.Desk, cacheBytes int64) *Lists {
	return &Lists{books: books, desk: desk, cache: respond.NewCache[Key](books, cacheBytes)}
}

// asked is the body of a request and the book that it is answered from.
func asked[T any](s *Lists, c echo.Context) (in *T, book *conflict.Book, err error) {
	if in, err = validate.Body[T](c); err == nil {
		book, err = s.books.Book()
	}
	return in, book, err
}

// Join gives the room what it asks of those where things are stored.
func (s *Lists) Join(recorder Recorder, adopters Adopters, shelf Shelf) {
	s.recorder, s.adopters, s.shelf = recorder, adopters, shelf
}

// Cache holds the answers to lists.
func (s *Lists) Cache() *respond.Cache[Key] { return s.cache }
