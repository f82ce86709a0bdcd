package middleware

import (
	"errors"
	"log/slog"
	"time"

	"commensal/api/transact"

	"github.com/labstack/echo/v4"
)

const errorLevel = slog.LevelError

// Observe writes the access log and the metrics, after the answer, be it one that is cut off.
func Observe(m *Metrics, logger *slog.Logger, now func() time.Time) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			start := now()
			defer func() {
				took := now().Sub(start)
				route := routeOf(c)
				m.observe(c.Request().Method, route, c.Response().Status, took)
				if logger.Enabled(c.Request().Context(), slog.LevelInfo) {
					logAccess(logger, c, route, took)
				}
			}()
			return next(c)
		}
	}
}

// AnswerErrors turns the error of a handler into an answer, so that what stands outside it
// sees the status that the client gets.
func AnswerErrors(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if err := next(c); err != nil {
			if errors.Is(err, echo.ErrNotFound) {
				c.Set(missingKey, true)
			}
			c.Error(err)
		}
		return nil
	}
}

// unmatched is the route of requests that no path of the contract fits.
const unmatched = "unmatched"

// routeOf is the path template, of which there are few whatever the clients ask for.
func routeOf(c echo.Context) string {
	if missing, _ := c.Get(missingKey).(bool); missing || c.Path() == "" {
		return unmatched
	}
	return c.Path()
}

func logAccess(logger *slog.Logger, c echo.Context, route string, took time.Duration) {
	r, id := c.Request(), identityOf(c)
	attrs := []slog.Attr{
		slog.String("method", r.Method),
		slog.String("route", route),
		slog.String("path", r.URL.Path),
		slog.Int("status", c.Response().Status),
		slog.Int64("bytes", c.Response().Size),
		slog.Float64("ms", float64(took.Microseconds())/1000),
		slog.String("request_id", id.request),
		slog.String("trace_id", id.trace),
		slog.String("span_id", id.span),
	}
	if who := transact.Who(c); who != nil {
		attrs = append(attrs, slog.String("key", who.Key)) // its id, which is no secret
	}
	logger.LogAttrs(r.Context(), slog.LevelInfo, "request", attrs...)
}

// failure is what is logged of an error that the client is not told.
func failure(err error, c echo.Context, id *identity) []slog.Attr {
	attrs := []slog.Attr{
		slog.String("error", err.Error()),
		slog.String("method", c.Request().Method),
		slog.String("route", routeOf(c)),
		slog.String("request_id", id.request),
		slog.String("trace_id", id.trace),
	}
	if p, ok := err.(*panicError); ok {
		attrs = append(attrs, slog.String("stack", string(p.stack)))
	}
	return attrs
}
