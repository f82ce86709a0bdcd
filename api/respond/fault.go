package respond

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"commensal/api/gen"

	"github.com/labstack/echo/v4"
)

// Fault is an error that the client is told about.
type Fault struct {
	Slug    Slug
	Status  int // 0 for the usual status of the type
	Detail  string
	Entries []gen.FieldError
	Header  map[string]string
	// Existing is the path of what exists already, "" where it has none.
	Existing string
}

// Error is the detail; the fields are for the client.
func (f *Fault) Error() string { return string(f.Slug) + ": " + f.Detail }

// RetryAfterSeconds is how long a client waits for the first catalogue.
const RetryAfterSeconds = 5

// errNotReady says that no catalogue is loaded yet.
var errNotReady = &Fault{Slug: NotReady, Detail: "No catalogue is loaded yet.",
	Header: map[string]string{"Retry-After": strconv.Itoa(RetryAfterSeconds)}}

// AtField describes one bad value.
func AtField(in gen.FieldErrorIn, pointer, detail, fix string) gen.FieldError {
	e := gen.FieldError{Pointer: pointer, In: &in, Detail: detail}
	if fix != "" {
		e.Fix = &fix
	}
	return e
}

// AtQuery describes a bad query parameter.
func AtQuery(name, detail, fix string) gen.FieldError {
	return AtField(gen.Query, "/query/"+PointerToken(name), detail, fix)
}

// Faults gathers what is wrong with one request: what cannot be read (400) and what
// is not possible (422). All of it is told at once.
type Faults struct {
	Malformed  Slug // the type when something cannot be read
	Unreadable []gen.FieldError
	Impossible []gen.FieldError
}

// MaxEntries is the most spots of a request that a problem tells of: whoever makes more
// mistakes mends these first.
const MaxEntries = 50

// Full reports that as many faults were gathered as are told of.
func (f *Faults) Full() bool { return len(f.Unreadable)+len(f.Impossible) >= MaxEntries }

// Err is nil when nothing was gathered. Unreadable values come first and decide.
func (f *Faults) Err() error {
	all := First(append(f.Unreadable, f.Impossible...))
	switch {
	case len(f.Unreadable) > 0:
		return &Fault{Slug: f.Malformed, Detail: Sentence(all), Entries: all}
	case len(f.Impossible) > 0:
		return &Fault{Slug: ImpossibleValue, Detail: Sentence(all), Entries: all}
	}
	return nil
}

// First are as many of the fields as are told of.
func First(fields []gen.FieldError) []gen.FieldError { return fields[:min(len(fields), MaxEntries)] }

// Sentence is the detail of a problem with fields: the only one, or how many.
func Sentence(fields []gen.FieldError) string {
	if len(fields) == 1 {
		return fields[0].Detail
	}
	if len(fields) >= MaxEntries {
		return "At least " + strconv.Itoa(MaxEntries) + " values of the request are not right; see errors."
	}
	return strconv.Itoa(len(fields)) + " values of the request are not right; see errors."
}

// FaultOf maps any error to what the client is told. Unknown ones become a bland
// fault of the service, and told is false: the cause belongs in the log.
func FaultOf(err error, c echo.Context) (f *Fault, told bool) {
	if errors.As(err, &f) {
		return f, true
	}
	var httpError *echo.HTTPError
	if errors.As(err, &httpError) {
		switch httpError.Code {
		case http.StatusNotFound:
			return PathNotFound(), true
		case http.StatusMethodNotAllowed:
			return notAllowed(c), true
		case http.StatusBadRequest:
			return &Fault{Slug: MalformedParameter, Detail: "A parameter cannot be read."}, true
		}
	}
	return &Fault{Slug: internalFault, Detail: "The service failed to answer; the cause is in its log."}, false
}

func PathNotFound() *Fault {
	return &Fault{Slug: NotFound, Detail: "There is nothing at this path; /docs lists what there is."}
}

func notAllowed(c echo.Context) *Fault {
	allow, _ := c.Get(echo.ContextKeyHeaderAllow).(string)
	return &Fault{Slug: methodNotAllowed, Detail: "This path answers " + allow + ".",
		Header: map[string]string{"Allow": allow}}
}

func Fields(f ...gen.FieldError) []gen.FieldError { return f }

// PointerToken escapes one token of a JSON Pointer (RFC 6901).
func PointerToken(s string) string {
	if !strings.ContainsAny(s, "~/") { // as nearly all, and it is asked for before anything is known to be wrong
		return s
	}
	return strings.NewReplacer("~", "~0", "/", "~1").Replace(s)
}
