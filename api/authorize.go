package api

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strings"

	"commensal/internal/auth"

	"github.com/labstack/echo/v4"
)

// whoKey is where the request's context of echo keeps the principal that is known
// without asking.
const whoKey = "commensal.who"

// bearer is the key that a request carries, or "".
func bearer(h http.Header) string {
	scheme, text, _ := strings.Cut(h.Get("Authorization"), " ")
	if !strings.EqualFold(scheme, "Bearer") {
		return ""
	}
	return strings.Trim(text, " ")
}

// remembered is who asks, where that is known without the database; nil otherwise. learn
// says that the key might be a good one and that nothing later on will look it up: a
// lookup never waits for the database.
func (s *Server) remembered(c echo.Context) (who *auth.Principal, learn bool) {
	text := bearer(c.Request().Header)
	if text == "" || s.cfg.Verifier == nil {
		return nil, false
	}
	who, known := s.cfg.Verifier.Recall(text)
	if who != nil {
		c.Set(whoKey, who)
	}
	return who, !known && !s.keyed[c.Request().Method+" "+c.Path()]
}

// authorize lets only keys with one of the operation's scopes pass, and tells the handler
// on whose behalf it works.
func (s *Server) authorize(op *operation) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			who, err := s.identify(c)
			if err != nil {
				return err
			}
			if !slices.ContainsFunc(op.scopes, who.May) {
				return notPermitted(op.scopes)
			}
			r := c.Request()
			setCall(c, &call{Principal: who, head: r.Method == http.MethodHead})
			return next(c)
		}
	}
}

// setCall tells the handler on whose behalf it works.
func setCall(c echo.Context, call *call) {
	r := c.Request()
	c.SetRequest(r.WithContext(context.WithValue(r.Context(), callKey{}, call)))
}

// recognise tells the handler of an operation for everybody who asks, where a key says so.
func (s *Server) recognise(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if who, err := s.identify(c); err == nil {
			setCall(c, &call{Principal: who})
		}
		return next(c)
	}
}

// identify finds out who asks, from the database if it must.
func (s *Server) identify(c echo.Context) (*auth.Principal, error) {
	if who, ok := c.Get(whoKey).(*auth.Principal); ok {
		return who, nil
	}
	text := bearer(c.Request().Header)
	if text == "" {
		return nil, challenged(keyMissing, "This needs a key: send Authorization: Bearer with one.", "")
	}
	if s.cfg.Verifier == nil {
		return nil, errDatabaseAway
	}
	who, err := s.cfg.Verifier.Verify(c.Request().Context(), text)
	if err != nil {
		return nil, keyFault(err)
	}
	c.Set(whoKey, who)
	return who, nil
}

// keyFault is the problem of a key that is not accepted.
func keyFault(err error) error {
	const invalid = `, error="invalid_token", error_description="`
	switch {
	case errors.Is(err, auth.ErrMalformed):
		return challenged(keyRefused, "The text is not a key: it is mistyped or cut off.", invalid+`not a key"`)
	case errors.Is(err, auth.ErrUnknown):
		return challenged(keyRefused, "There is no such key.", invalid+`no such key"`)
	case errors.Is(err, auth.ErrExpired):
		return challenged(keyRefused, "The key has expired.", invalid+`expired"`)
	case errors.Is(err, auth.ErrRevoked):
		return challenged(keyRefused, "The key has been revoked.", invalid+`revoked"`)
	}
	return storeFault(err)
}

// notPermitted is the problem of a key without the scope.
func notPermitted(scopes []auth.Scope) error {
	names := make([]string, len(scopes))
	for i, s := range scopes {
		names[i] = string(s)
	}
	return challenged(scopeMissing, "The key lacks the scope "+strings.Join(names, " or ")+".",
		`, error="insufficient_scope", scope="`+strings.Join(names, " ")+`"`)
}

// challenged is a problem with the challenge of RFC 6750.
func challenged(s slug, detail, more string) error {
	return &fault{slug: s, detail: detail, header: map[string]string{"WWW-Authenticate": `Bearer realm="commensal"` + more}}
}
