package service

import (
	"net/http"
	"time"
)

// drain is the first part of a clean end. For the time of --drain-delay everything is
// answered as before, except that /readyz says no and every answer closes its connection:
// load balancers send nothing new, and clients that keep connections leave them. So no
// request meets a listener that is just closing.
func (s *service) drain() {
	s.draining.Store(true)
	time.Sleep(s.set.DrainDelay) // a second signal ends the process at once
}

// sendAway asks clients not to use their connection again once the end has begun.
func (s *service) sendAway(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if s.draining.Load() {
			w.Header().Set("Connection", "close")
		}
		next.ServeHTTP(w, r)
	})
}
