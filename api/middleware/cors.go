package middleware

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
)

// missingKey marks requests whose path the contract does not have.
const missingKey = "commensal.missing"

// The CORS headers of public lookups: any page may ask, none may send credentials.
var (
	anyOrigin    = []string{"*"}
	exposed      = []string{"ETag, Link, Content-Location, Catalogue-Stale, RateLimit, RateLimit-Policy, Retry-After, X-Request-Id, traceparent"}
	askedHeaders = "Content-Type, If-None-Match, Idempotency-Key, X-Request-Id, traceparent"
)

// AllowCrossOrigin lets pages of any origin read what is under /v1, and answers their
// preflight requests.
func AllowCrossOrigin(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if !public(c.Request()) {
			return next(c)
		}
		h := c.Response().Header()
		openToAll(h)
		if c.Request().Method != http.MethodOptions {
			return next(c)
		}
		allow, ok := c.Get(echo.ContextKeyHeaderAllow).(string)
		if !ok {
			return next(c)
		}
		h.Set("Allow", allow)
		h.Set("Access-Control-Allow-Methods", strings.TrimPrefix(allow, "OPTIONS, "))
		h.Set("Access-Control-Allow-Headers", askedHeaders)
		h.Set("Access-Control-Max-Age", "86400")
		return c.NoContent(http.StatusNoContent)
	}
}

// public reports whether the request is for the public lookups.
func public(r *http.Request) bool { return strings.HasPrefix(r.URL.Path, "/v1/") }

// openToAll lets a page of any origin read an answer.
func openToAll(h http.Header) {
	h["Access-Control-Allow-Origin"], h["Access-Control-Expose-Headers"] = anyOrigin, exposed
}
