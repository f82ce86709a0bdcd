package middleware

import (
	"errors"
	"net/http"
	"slices"
	"strings"

	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/work"
	"commensal/internal/auth"

	"github.com/labstack/echo/v4"
)

// bearer is the key that a request carries, or "".
func bearer(h http.Header) string {
	scheme, text, _ := strings.Cut(only(h["Authorization"]), " ")
	if !strings.EqualFold(scheme, "Bearer") {
		return ""
	}
	return strings.Trim(text, " ")
}

// Guard finds out who asks.
type Guard struct {
	verifier *auth.Verifier  // nil where there is no database
	keyed    map[string]bool // method and path template of the operations that need a key
}

// NewGuard makes a guard. keyed are the method and path template of the operations that need a key.
func NewGuard(verifier *auth.Verifier, keyed map[string]bool) *Guard { return &Guard{verifier, keyed} }

// remembered is who asks, where that is known without the database; nil otherwise. unknown
// says that the key might be a good one: a lookup never waits for the database.
func (g *Guard) remembered(r *http.Request) (who *auth.Principal, unknown bool) {
	text := bearer(r.Header)
	if text == "" || g.verifier == nil {
		return nil, false
	}
	who, known := g.verifier.Recall(text)
	return who, !known
}

// Authorize lets only keys with one of the operation's scopes pass.
func (g *Guard) Authorize(scopes []auth.Scope) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			who, err := g.identify(c)
			if err != nil {
				return err
			}
			if !slices.ContainsFunc(scopes, who.May) {
				return NotPermitted(scopes)
			}
			return next(c)
		}
	}
}

// Recognise tells the handler of an operation for everybody who asks, where a key says so.
func (g *Guard) Recognise(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if transact.Who(c) == nil && bearer(c.Request().Header) != "" {
			_, _ = g.identify(c) // a key that is not accepted is none
		}
		return next(c)
	}
}

// identify finds out who asks, from the database if it must.
func (g *Guard) identify(c echo.Context) (*auth.Principal, error) {
	if who := transact.Who(c); who != nil {
		return who, nil
	}
	text := bearer(c.Request().Header)
	if text == "" {
		return nil, challenged(respond.KeyMissing, "This needs a key: send Authorization: Bearer with one.", "")
	}
	if g.verifier == nil {
		return nil, respond.ErrDatabaseAway
	}
	work.Rise(c.Request().Context()) // the database may have to be asked
	who, err := g.verifier.Verify(c.Request().Context(), text)
	if err != nil {
		return nil, keyFault(err)
	}
	transact.SetWho(c, who)
	return who, nil
}

// keyFault is the problem of a key that is not accepted.
func keyFault(err error) error {
	const invalid = `, error="invalid_token", error_description="`
	switch {
	case errors.Is(err, auth.ErrMalformed):
		return challenged(respond.KeyRefused, "The text is not a key: it is mistyped or cut off.", invalid+`not a key"`)
	case errors.Is(err, auth.ErrUnknown):
		return challenged(respond.KeyRefused, "There is no such key.", invalid+`no such key"`)
	case errors.Is(err, auth.ErrExpired):
		return challenged(respond.KeyRefused, "The key has expired.", invalid+`expired"`)
	case errors.Is(err, auth.ErrRevoked):
		return challenged(respond.KeyRefused, "The key has been revoked.", invalid+`revoked"`)
	}
	return respond.StoreFault(err)
}

// NotPermitted is the problem of a key without the scope.
func NotPermitted(scopes []auth.Scope) error {
	names := make([]string, len(scopes))
	for i, s := range scopes {
		names[i] = string(s)
	}
	return challenged(respond.ScopeMissing, "The key lacks the scope "+strings.Join(names, " or ")+".",
		`, error="insufficient_scope", scope="`+strings.Join(names, " ")+`"`)
}

// challenged is a problem with the challenge of RFC 6750.
func challenged(s respond.Slug, detail, more string) error {
	return &respond.Fault{Slug: s, Detail: detail, Header: map[string]string{"WWW-Authenticate": `Bearer realm="commensal"` + more}}
}

// Permit lets a request pass whose key has a scope, where the operation itself needs none,
// and tells the handler on whose behalf.
func (g *Guard) Permit(c echo.Context, scope auth.Scope) error {
	who, err := g.identify(c)
	if err != nil {
		return err
	}
	if !who.May(scope) {
		return NotPermitted([]auth.Scope{scope})
	}
	return nil
}
