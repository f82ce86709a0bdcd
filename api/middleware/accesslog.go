package middleware

import (
	"errors"
	"log/slog"
	"net/http"
	"strconv"
	"time"

	"commensal/api/transact"
	"commensal/internal/clientaddr"

	"github.com/labstack/echo/v4"
)

const errorLevel = slog.LevelError

// Observe writes the access log and the metrics, after the answer, be it one that is cut off.
func Observe(m *Metrics, log AccessLog, now func() time.Time) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			start := now()
			defer func() {
				took := now().Sub(start)
				route := routeOf(c)
				m.observe(c.Request().Method, route, c.Response().Status, took, identityOf(c))
				m.observeWork(c, route)
				if log.Logger.Enabled(c.Request().Context(), slog.LevelInfo) {
					log.write(c, route, took)
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

// AccessLog writes a line for each request.
type AccessLog struct {
	Logger    *slog.Logger
	Proxies   clientaddr.Proxies // whose X-Forwarded-For is believed
	Addresses clientaddr.Shown   // how much of a client's address is written
}

// unwritten reports that the client went before it had the whole answer, which may have been
// finished all the same.
func unwritten(c echo.Context) bool {
	if c.Request().Context().Err() != nil {
		return true
	}
	r := c.Response()
	if c.Request().Method == http.MethodHead {
		return false
	}
	promised, err := strconv.ParseInt(r.Header().Get("Content-Length"), 10, 64)
	return err == nil && r.Size < promised
}

func (l *AccessLog) write(c echo.Context, route string, took time.Duration) {
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
	if client := l.Addresses.Text(l.Proxies.Client(r)); client != "" {
		attrs = append(attrs, slog.String("client", client))
	}
	if account := accountOf(c); account != nil {
		attrs = append(attrs, slog.Int64("cost", account.Units()), slog.Float64("queued_ms", float64(account.Waited().Microseconds())/1000))
	}
	if unwritten(c) {
		attrs = append(attrs, slog.Bool("written", false))
	}
	l.Logger.LogAttrs(r.Context(), slog.LevelInfo, "request", attrs...)
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
