package middleware

import (
	"maps"
	"sync"
	"sync/atomic"

	"github.com/prometheus/client_golang/prometheus"
)

// metricKey holds the labels beside the route: each has a bounded set of values.
type metricKey struct {
	method string
	status int
}

// durations are the series that answers were counted in, found without locks: there are few, and each is added once.
type durations struct {
	adding sync.Mutex
	routes atomic.Pointer[map[string][]series] // neither the map nor a list in it is ever changed
}

// series is one of a route.
type series struct {
	key metricKey
	in  prometheus.Observer
}

// of is the series of a route and key, nil where nothing was counted in it.
func (d *durations) of(route string, key metricKey) prometheus.Observer {
	routes := d.routes.Load()
	if routes == nil {
		return nil
	}
	for _, s := range (*routes)[route] {
		if s.key == key {
			return s.in
		}
	}
	return nil
}

// add makes a series known, once.
func (d *durations) add(route string, key metricKey, in prometheus.Observer) {
	d.adding.Lock()
	defer d.adding.Unlock()
	if d.of(route, key) != nil {
		return
	}
	routes := map[string][]series{}
	if before := d.routes.Load(); before != nil {
		routes = maps.Clone(*before)
	}
	all := routes[route]
	routes[route] = append(all[:len(all):len(all)], series{key, in})
	d.routes.Store(&routes)
}
