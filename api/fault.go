package api

import (
	"errors"
	"net/http"
	"strconv"

	"commensal/api/gen"

	"github.com/labstack/echo/v4"
)

// fault is an error that the client is told about.
type fault struct {
	slug   slug
	status int // 0 for the usual status of the type
	detail string
	fields []gen.FieldError
	header map[string]string
}

// Error is the detail; the fields are for the client.
func (f *fault) Error() string { return string(f.slug) + ": " + f.detail }

// retryAfterSeconds is how long a client waits for the first catalogue.
const retryAfterSeconds = 5

// errNotReady says that no catalogue is loaded yet.
var errNotReady = &fault{slug: notReady, detail: "No catalogue is loaded yet.",
	header: map[string]string{"Retry-After": strconv.Itoa(retryAfterSeconds)}}

// errStopping says that the service is about to end.
var errStopping = &fault{slug: notReady, detail: "The service is about to stop; another one takes over.",
	header: map[string]string{"Retry-After": strconv.Itoa(retryAfterSeconds)}}

// atField describes one bad value.
func atField(in gen.FieldErrorIn, pointer, detail, fix string) gen.FieldError {
	e := gen.FieldError{Pointer: pointer, In: &in, Detail: detail}
	if fix != "" {
		e.Fix = &fix
	}
	return e
}

// atQuery describes a bad query parameter.
func atQuery(name, detail, fix string) gen.FieldError {
	return atField(gen.Query, "/query/"+pointerToken(name), detail, fix)
}

// faults gathers what is wrong with one request: what cannot be read (400) and what
// is not possible (422). All of it is told at once.
type faults struct {
	malformed  slug // the type when something cannot be read
	unreadable []gen.FieldError
	impossible []gen.FieldError
}

// err is nil when nothing was gathered. Unreadable values come first and decide.
func (f *faults) err() error {
	all := append(f.unreadable, f.impossible...)
	switch {
	case len(f.unreadable) > 0:
		return &fault{slug: f.malformed, detail: sentence(all), fields: all}
	case len(f.impossible) > 0:
		return &fault{slug: impossibleValue, detail: sentence(all), fields: all}
	}
	return nil
}

// sentence is the detail of a problem with fields: the only one, or how many.
func sentence(fields []gen.FieldError) string {
	if len(fields) == 1 {
		return fields[0].Detail
	}
	return strconv.Itoa(len(fields)) + " values of the request are not right; see errors."
}

// faultOf maps any error to what the client is told. Unknown ones become a bland
// fault of the service, and told is false: the cause belongs in the log.
func faultOf(err error, c echo.Context) (f *fault, told bool) {
	if errors.As(err, &f) {
		return f, true
	}
	var httpError *echo.HTTPError
	if errors.As(err, &httpError) {
		switch httpError.Code {
		case http.StatusNotFound:
			return pathNotFound(), true
		case http.StatusMethodNotAllowed:
			return notAllowed(c), true
		case http.StatusBadRequest:
			return &fault{slug: malformedParameter, detail: "A parameter cannot be read."}, true
		}
	}
	return &fault{slug: internalFault, detail: "The service failed to answer; the cause is in its log."}, false
}

func pathNotFound() *fault {
	return &fault{slug: notFound, detail: "There is nothing at this path; /docs lists what there is."}
}

func notAllowed(c echo.Context) *fault {
	allow, _ := c.Get(echo.ContextKeyHeaderAllow).(string)
	return &fault{slug: methodNotAllowed, detail: "This path answers " + allow + ".",
		header: map[string]string{"Allow": allow}}
}

func fields(f ...gen.FieldError) []gen.FieldError { return f }
