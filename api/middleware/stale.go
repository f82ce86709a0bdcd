package middleware

import (
	"net/http"

	"github.com/labstack/echo/v4"
)

// staleMark is the value of Catalogue-Stale, true as a structured field (RFC 9651).
var staleMark = []string{"?1"}

// MarkStale says on every answer under /v1 that the catalogue may have a newer revision, while
// the database cannot be heard of. It is said at once and not in the body, so that answers
// stay as they are, with the same entity tag.
func MarkStale(stale func() bool) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			if public(c.Request()) {
				markStale(c.Response().Header(), stale)
			}
			return next(c)
		}
	}
}

func markStale(h http.Header, stale func() bool) {
	if stale() {
		h["Catalogue-Stale"] = staleMark
	}
}
