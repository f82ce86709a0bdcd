package middleware

import (
	"net/http"

	"commensal/api/work"
	"commensal/internal/admission"

	"github.com/prometheus/client_golang/prometheus"
)

// workMetrics tell what requests cost, how long they wait, and what is refused. Their labels are
// path templates, of which there are few.
type workMetrics struct {
	units     *prometheus.CounterVec
	queued    *prometheus.HistogramVec
	refused   *prometheus.CounterVec
	unwritten *prometheus.CounterVec
}

// queueBuckets are in seconds, up to the patience of the desk.
var queueBuckets = []float64{0.001, 0.005, 0.025, 0.1, 0.25, 0.5, 1, 2}

func newWorkMetrics(registry prometheus.Registerer, desk *work.Desk) workMetrics {
	counter := func(name, help string, labels ...string) *prometheus.CounterVec {
		return prometheus.NewCounterVec(prometheus.CounterOpts{Name: name, Help: help}, labels)
	}
	m := workMetrics{
		units: counter("commensal_work_units_total", "What judging lists cost, in pairings scored, by path template.", "route"),
		queued: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "commensal_work_queue_seconds", Buckets: queueBuckets,
			Help: "How long work waited to begin, by path template."}, []string{"route"}),
		refused:   counter("commensal_http_refused_total", "Requests refused by limits and for overload, by path template and status.", "route", "status"),
		unwritten: counter("commensal_http_unwritten_total", "Answers whose client went before it had them, by path template.", "route"),
	}
	registry.MustRegister(m.units, m.queued, m.refused, m.unwritten)
	short, long := func() admission.State { s, _ := desk.Lanes(); return s }, func() admission.State { _, l := desk.Lanes(); return l }
	for lane, state := range map[string]func() admission.State{"short": short, "long": long} {
		registerLane(registry, lane, state)
	}
	return m
}

// registerLane shows how busy a lane of the desk is.
func registerLane(registry prometheus.Registerer, lane string, state func() admission.State) {
	gauge := func(name, help string, of func(admission.State) int64) {
		registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: name, Help: help, ConstLabels: prometheus.Labels{"lane": lane}},
			func() float64 { return float64(of(state())) }))
	}
	gauge("commensal_work_places", "Places for work, by lane.", func(s admission.State) int64 { return s.Capacity })
	gauge("commensal_work_running", "Places taken, by lane.", func(s admission.State) int64 { return s.Running })
	gauge("commensal_work_waiting", "Pieces of work that wait, by lane.", func(s admission.State) int64 { return s.Waiting })
}

// observe counts what a request cost and whether it was refused.
func (m *workMetrics) observe(a *answered) {
	switch a.status {
	case http.StatusTooManyRequests:
		m.refused.WithLabelValues(a.route, "429").Inc()
	case http.StatusServiceUnavailable:
		m.refused.WithLabelValues(a.route, "503").Inc()
	}
	if a.unwritten {
		m.unwritten.WithLabelValues(a.route).Inc()
	}
	if a.account != nil {
		m.units.WithLabelValues(a.route).Add(float64(a.account.Units()))
		m.queued.WithLabelValues(a.route).Observe(a.account.Waited().Seconds())
	}
}
