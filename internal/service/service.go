package service

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"slices"
	"sync/atomic"
	"time"

	"commensal/api"
	"commensal/internal/auth"
	"commensal/internal/certfile"
	"commensal/internal/clientaddr"
	"commensal/internal/connections"
	"commensal/internal/evidence"
	"commensal/internal/store"
	"commensal/internal/tracing"
)

// The limits of a connection. An answer takes milliseconds, so whoever takes longer
// than these is broken or unkind.
const (
	readHeaderTimeout = 5 * time.Second
	readTimeout       = 15 * time.Second
	writeTimeout      = 30 * time.Second
	idleTimeout       = 2 * time.Minute
	maxHeaderBytes    = 32 << 10
	// maxStreams is how many requests an HTTP/2 connection may have under way at once, so
	// that it is not worth hundreds of connections.
	maxStreams = 32
	// maxMetricsConnections is more than all who look at the metrics need.
	maxMetricsConnections = 64
)

// The parts of a clean end: requests under way may finish, then the rest stops.
const (
	drainTime = 10 * time.Second
	stopTime  = 20 * time.Second
	// lastSpansTime is what a collector gets to take the last spans.
	lastSpansTime = 2 * time.Second
)

// service is the running service. What it starts it stops, in reverse order.
type service struct {
	set     *Settings
	log     *slog.Logger
	access  *slog.Logger // takes the access log
	live    liveCatalogue
	public  net.Listener
	metrics net.Listener          // nil when metrics are off
	secure  *certfile.Certificate // nil without TLS
	failed  chan error            // a server that ended on its own
	stops   []func(context.Context) error

	tracing  *tracing.Tracing // nil without a collector
	verifier *auth.Verifier
	reports  atomic.Pointer[evidence.Tallies]
	draining atomic.Bool // the end has begun: whoever balances load goes elsewhere

	postgresTime time.Duration // of the start, how much a private PostgreSQL took
}

// startService starts everything and returns when lookups are answered. On an error
// nothing is left running.
func startService(ctx context.Context, set *Settings, log, access *slog.Logger) (*service, error) {
	s := &service{set: set, log: log, access: access, failed: make(chan error, 2)}
	for _, step := range []func(context.Context) error{s.listen, s.trace, s.openStore, s.followCatalogue, s.followReports, s.maintain, s.serve} {
		if err := step(ctx); err != nil {
			return nil, errors.Join(err, s.close())
		}
	}
	return s, nil
}

// metricsAddress is where the metrics are, or "off".
func (s *service) metricsAddress() string {
	if s.metrics == nil {
		return MetricsOff
	}
	return s.metrics.Addr().String()
}

func (s *service) onStop(stop func(context.Context) error) { s.stops = append(s.stops, stop) }

// listen claims the addresses first: a port in use is the commonest mistake, and
// nothing has to be undone for it.
func (s *service) listen(ctx context.Context) (err error) {
	if s.public, err = listenOn(ctx, s.set.Addr, "--addr", "COMMENSAL_ADDR"); err != nil {
		return err
	}
	s.onStop(func(context.Context) error { return closed(s.public.Close()) })
	if err = s.openCertificate(); err != nil {
		return err
	}
	s.warnOfPlainText()
	if s.set.MetricsAddr == MetricsOff {
		return nil
	}
	if s.metrics, err = listenOn(ctx, s.set.MetricsAddr, "--metrics-addr", "COMMENSAL_METRICS_ADDR"); err != nil {
		return err
	}
	s.onStop(func(context.Context) error { return closed(s.metrics.Close()) })
	return nil
}

// trace begins to send spans, where there is a collector for them.
func (s *service) trace(ctx context.Context) (err error) {
	if s.set.TracesTo == "" {
		return nil
	}
	s.tracing, err = tracing.Start(ctx, tracing.Options{Endpoint: s.set.TracesTo, Share: s.set.TracesShare, Version: s.set.Version, Log: s.log})
	if err != nil {
		return err
	}
	s.onStop(func(ctx context.Context) error {
		ctx, cancel := context.WithTimeout(ctx, lastSpansTime)
		defer cancel()
		if err := s.tracing.Stop(ctx); err != nil {
			s.log.Warn("the last spans are lost", "error", err)
		}
		return nil
	})
	return nil
}

// openStore opens the database. A private one belongs to this program, which may
// migrate it and keep its catalogue; another one only when it is told to.
func (s *service) openStore(ctx context.Context) error {
	begin := time.Now()
	d, err := openDatabase(ctx, &s.set.Database, s.log)
	if err != nil {
		return err
	}
	s.onStop(d.close)
	s.postgresTime = time.Since(begin)
	mayWrite := s.set.Migrate || d.private != nil
	if d.private != nil {
		s.inBackground(d.keepRunning)
	}
	options := store.Options{WatchDSN: string(s.set.WatchURL), ReplicaDSN: string(s.set.ReplicaURL), ReplicaMaxLag: s.set.ReplicaMaxLag}
	if s.tracing != nil {
		options.Tracer = s.tracing.Statements()
	}
	st, err := openStore(ctx, d.access, options, mayWrite, s.log)
	if err != nil {
		return err
	}
	s.onStop(func(context.Context) error { st.Close(); return nil })
	s.live.store, s.live.log, s.live.version = st, s.log, s.set.Version
	s.inBackground(func(ctx context.Context) { st.FollowReplica(ctx, s.tellOfReplica) })
	return s.live.fill(ctx, mayWrite)
}

// serve answers on both listeners.
func (s *service) serve(context.Context) error {
	cfg := api.Config{
		Book: s.live.current, Ping: s.live.store.Ping, Version: s.set.Version, Logger: s.log, AccessLogger: s.access,
		Store: s.live.store, Verifier: s.verifier, Reports: s.reports.Load, Published: s.live.take,
		Stale: s.live.stale, Stopping: s.draining.Load,
		RateLimit:      api.RateLimit{Quota: s.set.RateLimit, Window: time.Minute},
		KeyRateLimit:   api.RateLimit{Quota: s.set.KeyRateLimit, Window: time.Minute},
		TrustedProxies: clientaddr.Proxies(s.set.TrustedProxies), ExemptLocal: s.set.ExemptLoopback, LogAddresses: s.set.LogAddresses, KeyLife: s.set.KeyLife,
		CacheBytes: s.set.answerCache(), WorkLimit: s.set.WorkLimit, Processors: spareProcessors(s.set.Getenv), PublicURL: s.set.PublicURL,
	}
	if s.tracing != nil {
		cfg.Tracer = s.tracing.Requests()
	}
	server, err := api.New(cfg)
	if err != nil {
		return err
	}
	if s.metrics != nil {
		s.answer(s.metrics, server.Metrics(), maxMetricsConnections, nil)
	}
	s.inBackground(func(ctx context.Context) {
		s.every(ctx, screenEvery, func(ctx context.Context) error { _, err := server.Screen(ctx); return err })
	})
	s.answer(s.public, server.Handler(), connections.Most(s.set.MaxConnections), s.secure)
	return nil
}

// answer serves a handler on a listener, on at most so many connections, over TLS where
// there is a certificate.
func (s *service) answer(on net.Listener, handler http.Handler, most int, secure *certfile.Certificate) {
	bound := connections.Limit(on, most)
	server := &http.Server{
		Handler: s.sendAway(handler), ReadHeaderTimeout: readHeaderTimeout, ReadTimeout: readTimeout, WriteTimeout: writeTimeout,
		IdleTimeout: idleTimeout, MaxHeaderBytes: maxHeaderBytes, ConnState: bound.Watch, ConnContext: connections.Context,
		HTTP2:    &http.HTTP2Config{MaxConcurrentStreams: maxStreams},
		ErrorLog: slog.NewLogLogger(s.log.Handler(), slog.LevelWarn),
	}
	run := func() error { return server.Serve(bound) }
	if secure != nil {
		server.TLSConfig = secure.Config()
		run = func() error { return server.ServeTLS(bound, "", "") }
	}
	go func() {
		if err := run(); !errors.Is(err, http.ErrServerClosed) {
			s.failed <- err
		}
	}()
	s.onStop(func(ctx context.Context) error {
		ctx, cancel := context.WithTimeout(ctx, drainTime)
		defer cancel()
		if err := server.Shutdown(ctx); err != nil {
			s.log.Warn("requests under way were cut off", "after", drainTime)
			return server.Close()
		}
		return nil
	})
}

// wait returns when ctx ends, or with an error when a server ends on its own.
func (s *service) wait(ctx context.Context) error {
	select {
	case <-ctx.Done():
		return nil
	case err := <-s.failed:
		return err
	}
}

// close stops everything in reverse order: no new connections, what is under way
// finishes, then the watch, the pool and a private PostgreSQL end.
func (s *service) close() error {
	ctx, cancel := context.WithTimeout(context.Background(), stopTime)
	defer cancel()
	var errs []error
	for _, stop := range slices.Backward(s.stops) {
		errs = append(errs, stop(ctx))
	}
	s.stops = nil
	return errors.Join(errs...)
}
