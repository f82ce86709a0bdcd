package middleware

import (
	"commensal/internal/store/replica"

	"github.com/prometheus/client_golang/prometheus"
)

// registerReplica shows what is read from the copy of the database, what is not and why, and how far behind it is.
func registerReplica(registry prometheus.Registerer, state func() replica.State) {
	gauge := func(name, help string, of func(replica.State) float64) {
		registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: name, Help: help}, func() float64 { return of(state()) }))
	}
	gauge("commensal_database_replica_usable", "1 while lists and histories are read from the replica of the database, 0 while the primary serves them.", func(s replica.State) float64 {
		if s.Why == "" {
			return 1
		}
		return 0
	})
	gauge("commensal_database_replica_lag_seconds", "For how long the replica has been without something that the primary had, when it was looked at last.",
		func(s replica.State) float64 { return s.Lag.Seconds() })
	counter := func(name, help, label, value string, of func(replica.State) int64) {
		registry.MustRegister(prometheus.NewCounterFunc(prometheus.CounterOpts{Name: name, Help: help, ConstLabels: prometheus.Labels{label: value}},
			func() float64 { return float64(of(state())) }))
	}
	const reads, readsHelp = "commensal_database_list_reads_total", "Reads that may be made on the replica, by where they were made."
	counter(reads, readsHelp, "place", "replica", func(s replica.State) int64 { return s.Reads })
	counter(reads, readsHelp, "place", "primary", func(s replica.State) (n int64) {
		for _, each := range s.Elsewhere {
			n += each
		}
		return n
	})
	for _, why := range replica.Reasons {
		counter("commensal_database_replica_fallbacks_total", "Reads that were made on the primary instead, by reason.", "reason", string(why),
			func(s replica.State) int64 { return s.Elsewhere[why] })
	}
}
