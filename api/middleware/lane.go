package middleware

import (
	"net/http"
	"time"

	"commensal/api/respond"

	"github.com/labstack/echo/v4"
	"go.opentelemetry.io/otel/trace"
)

// Quick are the lookups that can be told from the request line alone.
type Quick interface {
	// Find tells the route of a lookup that is sound, and its answer where it is kept. It does next to no work, for nothing
	// has been counted yet, and takes only requests with which the contract finds no fault.
	Find(r *http.Request) (route string, kept *respond.Reply, ok bool)
	// Answer makes the answer to a request that Find took.
	Answer(r *http.Request) (*respond.Reply, error)
}

// Lane answers quick lookups in one pass, with all that [Identify], [Trace], [Observe], [AnswerErrors], [RecoverPanics],
// [AllowCrossOrigin], [BoundInFlight], [LimitRate] and [MarkStale] do, in that order and by the same means. What it spares is
// the way through the router, a chain of functions made for each request, and the reading of parameters.
type Lane struct {
	Quick   Quick
	Tracer  trace.Tracer // nil where none is
	Metrics *Metrics
	Log     AccessLog
	Now     func() time.Time
	Flight  *InFlight
	Quotas  *Quotas
	Stale   func() bool
	// Rest answers all other requests, and writes the problems of these.
	Rest *echo.Echo
}

// ServeHTTP answers a request.
func (l *Lane) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method == http.MethodGet || r.Method == http.MethodHead {
		if route, kept, ok := l.Quick.Find(r); ok {
			l.serve(w, r, route, kept)
			return
		}
	}
	l.Rest.ServeHTTP(w, r)
}

// passage is one request on the lane.
type passage struct {
	answered
	own   identity
	asker asker
	kept  *respond.Reply // nil where the answer has to be made
}

func (l *Lane) serve(w http.ResponseWriter, r *http.Request, route string, kept *respond.Reply) {
	began := l.Now()
	p := &passage{own: *identify(r.Header), answered: answered{request: r, route: route, client: l.Log.Proxies.Client(r)}, kept: kept}
	p.id = &p.own
	if l.Tracer != nil {
		ctx, span := startSpan(l.Tracer, r, p.id)
		defer func() { endSpan(span, r.Method, route, p.status, p.id) }()
		r = r.WithContext(ctx)
		p.request = r
	}
	defer func() {
		p.took = l.Now().Sub(began)
		p.unwritten = unwritten(r, w.Header(), p.bytes)
		l.Metrics.observe(&p.answered)
		l.Log.write(&p.answered)
	}()
	if err := l.answer(w, r, p); err != nil {
		l.refuse(w, r, p, err)
	}
}

// answer tells in the answer all that does not depend on it, counts the request, and answers it.
func (l *Lane) answer(w http.ResponseWriter, r *http.Request, p *passage) (err error) {
	h := w.Header()
	p.id.tell(h)
	openToAll(h)
	leave := l.Flight.leave
	defer func() {
		if leave != nil {
			leave()
		}
		if fault := recover(); fault != nil {
			err = panicked(fault)
		}
	}()
	if err := l.Flight.enter(); err != nil {
		return err
	}
	p.asker = l.Quotas.asks(r, p.client, false)
	if p.asker.who != nil {
		p.key = p.asker.who.Key
	}
	if err := l.Quotas.admit(h, r, p.asker); err != nil {
		return err
	}
	l.Quotas.learn(r, p.asker)
	markStale(h, l.Stale)
	answer := p.kept
	if answer == nil {
		if answer, err = l.Quick.Answer(r); err != nil {
			return err
		}
	}
	leave = nil // it no longer counts once its answer begins
	l.Flight.leave()
	p.status, p.bytes, err = answer.Send(w, r)
	return err
}

// refuse writes a problem, as the rest does.
func (l *Lane) refuse(w http.ResponseWriter, r *http.Request, p *passage, err error) {
	c := l.Rest.NewContext(r, w)
	c.SetPath(p.route)
	c.Set(identityKey, p.id)
	if p.status != 0 { // the answer has begun
		c.Response().Committed = true
	}
	l.Rest.HTTPErrorHandler(err, c)
	if p.status == 0 {
		p.status, p.bytes = c.Response().Status, c.Response().Size
	}
}
