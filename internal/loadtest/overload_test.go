package loadtest

import (
	"net/http"
	"sync/atomic"
	"testing"
	"time"
)

func TestOverloadTellsServedFromRefused(t *testing.T) {
	var n atomic.Int64
	target := dial(t, func(w http.ResponseWriter, _ *http.Request) {
		switch n.Add(1) % 4 {
		case 0:
			w.WriteHeader(http.StatusServiceUnavailable)
		case 1:
			w.WriteHeader(http.StatusTooManyRequests)
		}
	}, 4)
	o, err := target.Overload(t.Context(), Always(Request("GET", "/", nil)), 400, 200*time.Millisecond)
	// A machine that is busy may ask less often than it should; every second answer is a refusal all the same.
	if apart := o.Served.Count() - o.Refused.Count(); err != nil || o.Served.Count() == 0 || o.Served.Count() > 40 || apart < -2 || apart > 2 || int64(o.Served.Count()+o.Refused.Count()) != n.Load() {
		t.Errorf("%d served, %d refused, %v", o.Served.Count(), o.Refused.Count(), err)
	}
	n.Store(0)
	after, err := target.OverloadAfter(t.Context(), Always(Request("GET", "/", nil)), 400, 150*time.Millisecond, 150*time.Millisecond)
	if counted := int64(after.Served.Count() + after.Refused.Count()); err != nil || counted == 0 || counted > 100 || // 60 on a machine that keeps time
		n.Load() <= counted || after.Served.Elapsed > 20*time.Second {
		t.Errorf("%d of %d are counted, %v", counted, n.Load(), err)
	}
	n.Store(0)
	paced, err := target.PaceServed(t.Context(), Always(Request("GET", "/", nil)), 400, 100*time.Millisecond)
	if err != nil || paced.Served.Count() != 20 || paced.Refused.Count() != 20 {
		t.Errorf("paced: %d served, %d refused, %v", paced.Served.Count(), paced.Refused.Count(), err)
	}
	broken := dial(t, func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusInternalServerError) }, 1)
	if _, err := broken.Overload(t.Context(), Always(Request("GET", "/", nil)), 400, time.Second); err == nil {
		t.Error("a 500 passes")
	}
}
