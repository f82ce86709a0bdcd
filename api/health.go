package api

import (
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"

	"github.com/labstack/echo/v4"
)

// Health says whether the service lives, and whether it is ready.
type Health struct {
	books    respond.Books
	ready    *pinger
	stopping func() bool
}

// errStopping says that the service is about to end.
var errStopping = &respond.Fault{Slug: respond.NotReady, Detail: "The service is about to stop; another one takes over.",
	Header: map[string]string{"Retry-After": strconv.Itoa(respond.RetryAfterSeconds)}}

// GetLiveness says that the process is alive.
func (h *Health) GetLiveness(c echo.Context) error {
	return respond.To(c).Send(respond.JSON(gen.Health{Status: gen.Ok, Version: wire.Optional(h.books.Version)}))
}

// GetReadiness says whether lookups are answered, and whether the database answers.
func (h *Health) GetReadiness(c echo.Context) error {
	ctx := c.Request().Context()
	if h.stopping() {
		return errStopping
	}
	book, err := h.books.Book()
	if err != nil {
		return err
	}
	revision := book.Snapshot.Revision()
	out := gen.Health{Status: gen.Ok, Version: wire.Optional(h.books.Version), CatalogueRevision: &revision,
		ModelVersion: wire.Optional(book.Model.Version())}
	if h.ready.check(ctx) != nil {
		out.Status = gen.Degraded
		out.Detail = wire.Optional("Lookups are answered from memory; the database does not answer.")
	}
	return respond.To(c).Send(respond.JSON(out))
}
