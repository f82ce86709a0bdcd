package transact

import (
	"context"
	"crypto/sha256"
	"net/http"

	"commensal/internal/auth"
	"commensal/internal/store"
)

// Call is what a handler of an operation with a key knows of its request beside the
// parameters and the body.
type Call struct {
	*auth.Principal
	Once *store.Once // of a POST with an Idempotency-Key; nil otherwise
	Head bool        // no body is wanted
}

type callKey struct{}

// CallOf is the call behind a context; nil on an operation without a key.
func CallOf(ctx context.Context) *Call {
	c, _ := ctx.Value(callKey{}).(*Call)
	return c
}

// With is a context with the call behind it.
func With(ctx context.Context, c *Call) context.Context {
	return context.WithValue(ctx, callKey{}, c)
}

// Read notes the body of a POST that is to be carried out once.
func (c *Call) Read(r *http.Request, body []byte) {
	if key := r.Header.Get("Idempotency-Key"); key != "" && r.Method == http.MethodPost {
		c.Once = &store.Once{Key: key, Operation: r.Method + " " + r.URL.RequestURI(), Body: sha256.Sum256(body)}
	}
}
