package middleware

import (
	"net/http"
	"strconv"

	"commensal/api/work"
	"commensal/internal/conflict"
	"commensal/internal/store/replica"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// latencyBuckets are in seconds. A lookup takes tens of microseconds; a second is a
// fault.
var latencyBuckets = []float64{0.00005, 0.0001, 0.00025, 0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1}

// Metrics are the measurements of one server in a registry of their own.
type Metrics struct {
	Handler  http.Handler
	duration *prometheus.HistogramVec
	known    durations
	work     workMetrics
}

// Pool is how busy the connections to the database are.
type Pool struct {
	InUse, Idle, Most int32
	Waits             int64 // for a connection, since the start
}

// Sources are where the measurements come from that are not of single requests.
type Sources struct {
	Book   func() *conflict.Book // that is answered from
	Cached func() uint64         // bytes of answers held to be given again
	Stale  func() bool           // the database cannot be heard of
	Desk   *work.Desk
	Pool   func() Pool // nil without a database
	// Replica tells of the copy that lists may be read from; nil without one.
	Replica func() replica.State
}

func NewMetrics(of Sources) *Metrics {
	m := &Metrics{duration: prometheus.NewHistogramVec(prometheus.HistogramOpts{
		Name: "commensal_http_request_duration_seconds", Buckets: latencyBuckets,
		Help: "Time to answer a request, by method, path template and status; its count is the number of requests.",
	}, []string{"method", "route", "status"})}
	revision := prometheus.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "commensal_catalogue_revision",
		Help: "The catalogue revision that is answered from; 0 before the first.",
	}, func() float64 {
		if b := of.Book(); b != nil {
			return float64(b.Snapshot.Revision())
		}
		return 0
	})
	held := prometheus.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "commensal_answer_cache_bytes",
		Help: "About how much memory the answers take that are held to be given again.",
	}, func() float64 { return float64(of.Cached()) })
	stale := prometheus.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "commensal_catalogue_stale",
		Help: "1 while the database cannot be heard of, so that a newer catalogue may exist; else 0.",
	}, func() float64 {
		if of.Stale() {
			return 1
		}
		return 0
	})
	registry := prometheus.NewRegistry()
	m.work = newWorkMetrics(registry, of.Desk)
	registry.MustRegister(m.duration, revision, held, stale, collectors.NewGoCollector(),
		collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	if of.Pool != nil {
		registerPool(registry, of.Pool)
	}
	if of.Replica != nil {
		registerReplica(registry, of.Replica)
	}
	m.Handler = promhttp.HandlerFor(registry, promhttp.HandlerOpts{EnableOpenMetrics: true})
	return m
}

// observe counts one answer. Where spans of it are kept somewhere, the trace becomes an example of how
// long such answers take.
func (m *Metrics) observe(a *answered) {
	m.work.observe(a)
	key := metricKey{methodLabel(a.request.Method), a.status}
	observer := m.known.of(a.route, key)
	if observer == nil {
		observer = m.duration.WithLabelValues(key.method, a.route, strconv.Itoa(key.status))
		m.known.add(a.route, key, observer)
	}
	if a.id.sampled() {
		observer.(prometheus.ExemplarObserver).ObserveWithExemplar(a.took.Seconds(), prometheus.Labels{"trace_id": a.id.trace})
		return
	}
	observer.Observe(a.took.Seconds())
}

// registerPool shows how busy the connections to the database are.
func registerPool(registry prometheus.Registerer, state func() Pool) {
	for name, of := range map[string]func(Pool) int32{
		"in use": func(s Pool) int32 { return s.InUse },
		"idle":   func(s Pool) int32 { return s.Idle },
		"most":   func(s Pool) int32 { return s.Most },
	} {
		registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "commensal_database_connections",
			Help: "Connections to the database, by state; most is how many there may be.", ConstLabels: prometheus.Labels{"state": name}},
			func() float64 { return float64(of(state())) }))
	}
	registry.MustRegister(prometheus.NewCounterFunc(prometheus.CounterOpts{Name: "commensal_database_waits_total",
		Help: "Requests that had to wait for a connection to the database."}, func() float64 { return float64(state().Waits) }))
}

// methodLabel lets invented methods make no new series.
func methodLabel(method string) string {
	switch method {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodOptions,
		http.MethodPut, http.MethodPatch, http.MethodDelete:
		return method
	}
	return "other"
}
