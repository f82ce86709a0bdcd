package middleware

import (
	"errors"
	"log/slog"
	"net/http"
	"net/netip"
	"strconv"
	"time"

	"commensal/api/transact"
	"commensal/api/work"
	"commensal/internal/clientaddr"

	"github.com/labstack/echo/v4"
)

const errorLevel = slog.LevelError

// answered is what the access log and the metrics are told of an answer.
type answered struct {
	request *http.Request
	route   string
	status  int
	bytes   int64
	took    time.Duration
	id      *identity
	client  netip.Addr
	key     string        // the id of the key that asked, "" for none
	account *work.Account // nil for an operation that keeps none
	// unwritten says that the client went before it had the whole answer, which may have been finished all the same.
	unwritten bool
}

// Observe writes the access log and the metrics, after the answer, be it one that is cut off.
func Observe(m *Metrics, log AccessLog, now func() time.Time) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			start := now()
			defer func() {
				a := answered{request: c.Request(), route: routeOf(c), status: c.Response().Status, bytes: c.Response().Size,
					took: now().Sub(start), id: identityOf(c), client: log.Proxies.Client(c.Request()), account: accountOf(c),
					unwritten: unwritten(c.Request(), c.Response().Header(), c.Response().Size)}
				if who := transact.Who(c); who != nil {
					a.key = who.Key
				}
				m.observe(&a)
				log.write(&a)
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

// unwritten reports that the client went before it had the whole answer.
func unwritten(r *http.Request, h http.Header, bytes int64) bool {
	if r.Context().Err() != nil {
		return true
	}
	if r.Method == http.MethodHead {
		return false
	}
	promised, err := strconv.ParseInt(only(h["Content-Length"]), 10, 64)
	return err == nil && bytes < promised
}

// write writes the line of an answer. It goes to the handler of the logger at once, which need not be told the line of the program.
func (l *AccessLog) write(a *answered) {
	ctx, handler := a.request.Context(), l.Logger.Handler()
	if !handler.Enabled(ctx, slog.LevelInfo) {
		return
	}
	attrs := append(make([]slog.Attr, 0, 14),
		slog.String("method", a.request.Method),
		slog.String("route", a.route),
		slog.String("path", a.request.URL.Path),
		slog.Int("status", a.status),
		slog.Int64("bytes", a.bytes),
		slog.Float64("ms", float64(a.took.Microseconds())/1000),
		slog.String("request_id", a.id.request),
		slog.String("trace_id", a.id.trace),
		slog.String("span_id", a.id.span),
	)
	if a.key != "" {
		attrs = append(attrs, slog.String("key", a.key)) // its id, which is no secret
	}
	if client := l.Addresses.Text(a.client); client != "" {
		attrs = append(attrs, slog.String("client", client))
	}
	if a.account != nil {
		attrs = append(attrs, slog.Int64("cost", a.account.Units()), slog.Float64("queued_ms", float64(a.account.Waited().Microseconds())/1000))
	}
	if a.unwritten {
		attrs = append(attrs, slog.Bool("written", false))
	}
	line := slog.NewRecord(time.Now(), slog.LevelInfo, "request", 0)
	line.AddAttrs(attrs...)
	_ = handler.Handle(ctx, line) // there is nobody to tell that the log cannot be written
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
