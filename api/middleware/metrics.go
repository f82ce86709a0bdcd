package middleware

import (
	"net/http"
	"strconv"
	"sync"
	"time"

	"commensal/api/work"
	"commensal/internal/conflict"

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
	known    sync.Map // of metricKey to prometheus.Observer
	work     workMetrics
}

// metricKey holds the labels: each has a bounded set of values.
type metricKey struct {
	method, route string
	status        int
}

func NewMetrics(book func() *conflict.Book, cached func() uint64, desk *work.Desk) *Metrics {
	m := &Metrics{duration: prometheus.NewHistogramVec(prometheus.HistogramOpts{
		Name: "commensal_http_request_duration_seconds", Buckets: latencyBuckets,
		Help: "Time to answer a request, by method, path template and status; its count is the number of requests.",
	}, []string{"method", "route", "status"})}
	revision := prometheus.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "commensal_catalogue_revision",
		Help: "The catalogue revision that is answered from; 0 before the first.",
	}, func() float64 {
		if b := book(); b != nil {
			return float64(b.Snapshot.Revision())
		}
		return 0
	})
	held := prometheus.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "commensal_answer_cache_bytes",
		Help: "About how much memory the answers take that are held to be given again.",
	}, func() float64 { return float64(cached()) })
	registry := prometheus.NewRegistry()
	m.work = newWorkMetrics(registry, desk)
	registry.MustRegister(m.duration, revision, held, collectors.NewGoCollector(),
		collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	m.Handler = promhttp.HandlerFor(registry, promhttp.HandlerOpts{})
	return m
}

// observe counts one answer.
func (m *Metrics) observe(method, route string, status int, took time.Duration) {
	key := metricKey{methodLabel(method), route, status}
	observer, ok := m.known.Load(key)
	if !ok {
		observer, _ = m.known.LoadOrStore(key, m.duration.WithLabelValues(key.method, key.route, strconv.Itoa(status)))
	}
	observer.(prometheus.Observer).Observe(took.Seconds())
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
