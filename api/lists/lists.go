// Package lists judges whole lists and tanks that come with the request: checks, additions, groupings and
// placements. It leads from the wire to the core and back.
package lists

import (
	"encoding/json"
	"log/slog"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/conflict"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// Lists answers what is asked of whole lists and whole tanks, none of which is stored.
type Lists struct {
	books     respond.Books
	cache     *respond.Cache[Key]
	desk      *work.Desk
	recorder  Recorder
	adopters  Adopters
	proposals Proposals
	shelf     Shelf
	logger    *slog.Logger
	listOf    *validate.Operation // what holds each line of a batch against the contract
}

// listOperation is the operation that a line of a batch is a request of.
const listOperation = "checkList"

// Recorder judges a list and stores what was asked and answered. tank is the stored tank, if it is one.
type Recorder interface {
	Record(c echo.Context, q *Question, ref *string, tank *uuid.UUID) (*respond.Reply, error)
}

// Adopters knows what is stored.
type Adopters interface {
	// FetchAdopters puts what is stored of the tanks named by id into a request, as if it had been given there, and
	// tells which they are.
	FetchAdopters(c echo.Context, in *gen.PlacementsRequest) (stored []StoredTank, err error)
	// Region is where whoever asks is, as the organization says itself; empty where it does not, or where nobody
	// known asks.
	Region(c echo.Context) string
}

// StoredTank is a stored tank among the tanks of a request.
type StoredTank struct {
	Position          int // in the request
	ID                uuid.UUID
	Version, Revision int64
}

// Proposals keeps placements so that they can be accepted.
type Proposals interface {
	Keep(c echo.Context, p *Proposal) (*respond.Reply, error)
}

// Proposal is placements that were asked for and answered.
type Proposal struct {
	Asked    *gen.PlacementsRequest // stored tanks filled in
	Answer   json.RawMessage        // [gen.Placements]
	Tanks    []int                  // where each arrival of the answer goes; -1 for nowhere
	Stored   []StoredTank
	Summary  string
	Revision int64
	Model    string
}

// New makes the room. The encoded answers take at most so many bytes; lists are judged at
// the desk. What a line of a batch is not told goes to the log.
func New(books respond.Books, desk *work.Desk, cacheBytes int64, logger *slog.Logger) *Lists {
	return &Lists{books: books, desk: desk, cache: respond.NewCache[Key](books, cacheBytes), logger: logger}
}

// asked is the body of a request and the book that it is answered from.
func asked[T any](s *Lists, c echo.Context) (in *T, book *conflict.Book, err error) {
	if in, err = validate.Body[T](c); err == nil {
		book, err = s.books.Book()
	}
	return in, book, err
}

// HoldLines gives the room what holds the lines of a batch against the contract.
func (s *Lists) HoldLines(contract *validate.Contract) { s.listOf = contract.Operations[listOperation] }

// Join gives the room what it asks of those where things are stored.
func (s *Lists) Join(recorder Recorder, adopters Adopters, proposals Proposals, shelf Shelf) {
	s.recorder, s.adopters, s.proposals, s.shelf = recorder, adopters, proposals, shelf
}

// in is the region that a request is judged by: the one it names, else that of the organization that asks.
func (s *Lists) in(c echo.Context, asked *gen.Region) *gen.Region {
	if asked != nil {
		return asked
	}
	return wire.Optional(s.adopters.Region(c))
}

// Cache holds the answers to lists.
func (s *Lists) Cache() *respond.Cache[Key] { return s.cache }
