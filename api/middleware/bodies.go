package middleware

import (
	"time"

	"commensal/internal/admission"

	"github.com/labstack/echo/v4"
)

const (
	// largeBody is from how many bytes on a body is a large one. A list of the greatest length
	// has some 20 KB.
	largeBody = 64 << 10
	// largeBodies is how many requests with large bodies are under way at the same time: what is
	// made of a body takes up to ten times its bytes.
	largeBodies = 16
	// largePatience is how long one waits for another to end.
	largePatience = 2 * time.Second
)

// BoundBodies lets a few requests with large bodies be under way at the same time.
func BoundBodies() echo.MiddlewareFunc {
	return boundBodies(admission.Options{Capacity: largeBodies, Waiting: 8 * largeBodies, Patience: largePatience, Rush: largePatience})
}

func boundBodies(o admission.Options) echo.MiddlewareFunc {
	gate := admission.New(o)
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			r := c.Request()
			if r.ContentLength >= 0 && r.ContentLength < largeBody {
				return next(c)
			}
			pass, err := gate.Enter(r.Context(), 1)
			if err != nil {
				return errTooManyAtOnce
			}
			defer pass.Leave()
			c.Response().Before(pass.Leave)
			return next(c)
		}
	}
}
