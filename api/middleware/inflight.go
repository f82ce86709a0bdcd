package middleware

import (
	"net/http"
	"sync"
	"sync/atomic"

	"commensal/api/respond"

	"github.com/labstack/echo/v4"
)

// MaxInFlight is how many requests are answered at the same time: those that are being read,
// wait or are worked on, not those whose answer is being taken. Each holds its body and
// what is made of it.
const MaxInFlight = 512

// health are the paths that are answered whatever else there is to do.
func health(r *http.Request) bool { return r.URL.Path == "/livez" || r.URL.Path == "/readyz" }

var errTooManyAtOnce = &respond.Fault{Slug: respond.Overloaded, Detail: "More requests are under way than can be answered at the same time.",
	Header: map[string]string{"Retry-After": "1"}}

// InFlight counts the requests that are answered at the same time.
type InFlight struct {
	most int64
	now  atomic.Int64
}

// NewInFlight counts up to so many.
func NewInFlight(most int64) *InFlight { return &InFlight{most: most} }

// enter counts a request, and refuses it beyond the bound; it is counted until leave in either case.
func (f *InFlight) enter() error {
	if f.now.Add(1) > f.most {
		return errTooManyAtOnce
	}
	return nil
}

func (f *InFlight) leave() { f.now.Add(-1) }

// BoundInFlight refuses requests beyond a number at the same time. A request no longer counts
// once its answer begins: how fast it is taken is the client's doing.
func BoundInFlight(f *InFlight) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			if health(c.Request()) {
				return next(c)
			}
			leave := sync.OnceFunc(f.leave)
			defer leave()
			if err := f.enter(); err != nil {
				return err
			}
			c.Response().Before(leave)
			return next(c)
		}
	}
}
