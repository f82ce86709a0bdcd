package loadtest

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"time"
)

// A server ends connections on which nobody asks; a run that has more than it needs goes on with others.
func TestConnectionsThatWereIdleForTooLongAreMadeAnew(t *testing.T) {
	server := httptest.NewUnstartedServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) {}))
	server.Config.ReadHeaderTimeout, server.Config.IdleTimeout = 200*time.Millisecond, time.Minute
	server.Start()
	defer server.Close()
	target, err := Dial(t.Context(), server.Listener.Addr().String(), 8)
	if err != nil {
		t.Fatal(err)
	}
	defer target.Close()
	r, err := target.Overload(t.Context(), Always(Request("GET", "/", nil)), 50, time.Second)
	if err != nil || r.Served.Count() < 5 {
		t.Errorf("%d served, %v", r.Served.Count(), err)
	}
	if r, err = target.Overload(t.Context(), Always(Request("GET", "/", nil)), 1e6, time.Second); err != nil || r.Served.Count() < 8 {
		t.Errorf("over all of them: %d served, %v", r.Served.Count(), err)
	}
}
