package middleware

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"
	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/codes"
	"go.opentelemetry.io/otel/trace"
)

// Trace makes a span of each request, in the trace that its identity names, and gives it to all that is
// done for the request. The identity is that of the span from then on. Without a tracer it does nothing.
func Trace(tracer trace.Tracer) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		if tracer == nil {
			return next
		}
		return func(c echo.Context) error {
			r, id := c.Request(), identityOf(c)
			ctx, span := startSpan(tracer, r, id)
			defer func() { endSpan(span, r.Method, routeOf(c), c.Response().Status, id) }()
			id.tell(c.Response().Header())
			c.SetRequest(r.WithContext(ctx))
			return next(c)
		}
	}
}

// startSpan makes the span of a request, whose identity it then has.
func startSpan(tracer trace.Tracer, r *http.Request, id *identity) (context.Context, trace.Span) {
	ctx, span := tracer.Start(id.above(r.Context()), methodLabel(r.Method), trace.WithSpanKind(trace.SpanKindServer))
	if now := span.SpanContext(); now.IsValid() {
		id.trace, id.span, id.flags = now.TraceID().String(), now.SpanID().String(), now.TraceFlags().String()
	}
	return ctx, span
}

// above is a context in which the caller's span is the one above, where there is one.
func (id *identity) above(ctx context.Context) context.Context {
	if id.parent == "" {
		return ctx
	}
	// Both were found well formed, and flags that are not known are dropped.
	traceID, _ := trace.TraceIDFromHex(id.trace)
	parent, _ := trace.SpanIDFromHex(id.parent)
	return trace.ContextWithRemoteSpanContext(ctx, trace.NewSpanContext(trace.SpanContextConfig{
		TraceID: traceID, SpanID: parent, TraceFlags: trace.TraceFlags(0).WithSampled(id.sampled()), Remote: true}))
}

func endSpan(span trace.Span, method, route string, status int, id *identity) {
	if span.IsRecording() {
		span.SetName(methodLabel(method) + " " + route)
		span.SetAttributes(attribute.String("http.request.method", methodLabel(method)), attribute.String("http.route", route),
			attribute.Int("http.response.status_code", status), attribute.String("commensal.request_id", id.request))
		if status >= 500 {
			span.SetStatus(codes.Error, "")
		}
	}
	span.End()
}
