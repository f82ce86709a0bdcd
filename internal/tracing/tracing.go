// Package tracing sends spans of requests, and of the statements that they make, to a collector that
// speaks OTLP over HTTP.
package tracing

import (
	"context"
	"fmt"
	"log/slog"

	"github.com/exaring/otelpgx"
	"github.com/jackc/pgx/v5"
	"go.opentelemetry.io/otel"
	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace/otlptracehttp"
	"go.opentelemetry.io/otel/sdk/resource"
	sdktrace "go.opentelemetry.io/otel/sdk/trace"
	"go.opentelemetry.io/otel/trace"
)

// Options say where spans go, and how many.
type Options struct {
	// Endpoint is the collector, as in http://127.0.0.1:4318; without a path spans go to /v1/traces. How it is
	// reached beyond that (headers, authorities) stands in the OTEL_EXPORTER_OTLP_ variables of the standard.
	Endpoint string
	// Share is the part of the requests, from 0 to 1, that is traced where the caller does not say: one that
	// comes with a traceparent is traced when that says so, and only then.
	Share   float64
	Version string // of the program
	Log     *slog.Logger
}

// Tracing sends spans in the background. What a collector does not take in time is dropped: no request
// waits for it.
type Tracing struct{ provider *sdktrace.TracerProvider }

// Start prepares the sending. It does not wait for the collector, and fails for an endpoint that cannot be
// read alone. From then on the failures of all tracing in the process go to the log.
func Start(ctx context.Context, o Options) (*Tracing, error) {
	exporter, err := otlptracehttp.New(ctx, otlptracehttp.WithEndpointURL(o.Endpoint))
	if err != nil {
		return nil, fmt.Errorf("tracing: %w", err)
	}
	otel.SetErrorHandler(otel.ErrorHandlerFunc(func(err error) { o.Log.Warn("spans are lost", "error", err) }))
	about := resource.NewSchemaless(attribute.String("service.name", "commensal"), attribute.String("service.version", o.Version))
	return &Tracing{sdktrace.NewTracerProvider(
		sdktrace.WithBatcher(exporter), sdktrace.WithResource(about),
		sdktrace.WithSampler(sdktrace.ParentBased(sdktrace.TraceIDRatioBased(o.Share))),
	)}, nil
}

// Requests makes the spans of requests.
func (t *Tracing) Requests() trace.Tracer { return t.provider.Tracer("commensal/api") }

// Statements makes a span of each statement that a traced request makes: with its text and without its
// parameters.
func (t *Tracing) Statements() pgx.QueryTracer {
	return otelpgx.NewTracer(otelpgx.WithTracerProvider(t.provider))
}

// Stop sends what is left, as long as ctx lasts.
func (t *Tracing) Stop(ctx context.Context) error { return t.provider.Shutdown(ctx) }
