package loadtest

import (
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

func dial(t *testing.T, h http.HandlerFunc, connections int) *Target {
	t.Helper()
	s := httptest.NewServer(h)
	t.Cleanup(s.Close)
	target, err := Dial(t.Context(), s.Listener.Addr().String(), connections)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { target.Close() })
	return target
}

func TestARushAsksUntilItsTimeIsOverAndCountsEveryAnswer(t *testing.T) {
	var served atomic.Int64
	target := dial(t, func(w http.ResponseWriter, r *http.Request) {
		if body, _ := io.ReadAll(r.Body); string(body) == `{"n":1}` {
			served.Add(1)
		}
	}, 3)
	r, err := target.Rush(t.Context(), Always(Request("POST", "/x", []byte(`{"n":1}`))), 50*time.Millisecond)
	if err != nil || r.Count() == 0 || int64(r.Count()) != served.Load() || r.PerSecond() <= 0 {
		t.Errorf("%d answers, %d served, %v", r.Count(), served.Load(), err)
	}
}

func TestAPaceAsksAsOftenAsItSays(t *testing.T) {
	target := dial(t, func(http.ResponseWriter, *http.Request) {}, 2)
	r, err := target.Pace(t.Context(), Always(Request("GET", "/", nil)), 200, 100*time.Millisecond)
	if err != nil || r.Count() != 20 {
		t.Errorf("%d answers, %v", r.Count(), err)
	}
}

// A server that stalls once delays all that were due meanwhile.
func TestWhatWaitsForAStalledServerIsCountedFromWhenItWasDue(t *testing.T) {
	var n atomic.Int64
	target := dial(t, func(http.ResponseWriter, *http.Request) {
		if n.Add(1) == 1 {
			time.Sleep(100 * time.Millisecond)
		}
	}, 1)
	r, err := target.Pace(t.Context(), Always(Request("GET", "/", nil)), 100, 100*time.Millisecond)
	if err != nil || r.Count() != 10 || r.Quantile(0.5) < 30*time.Millisecond {
		t.Errorf("%d answers, half within %v, %v", r.Count(), r.Quantile(0.5), err)
	}
}

func TestARunEndsAtAWrongAnswerABrokenConnectionAndItsContext(t *testing.T) {
	wrong := dial(t, func(w http.ResponseWriter, _ *http.Request) { http.Error(w, "no fish", http.StatusTeapot) }, 2)
	if _, err := wrong.Rush(t.Context(), Always(Request("GET", "/", nil)), time.Minute); err == nil || !strings.Contains(err.Error(), "no fish") {
		t.Errorf("a wrong answer: %v", err)
	}
	broken := dial(t, func(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) }, 1)
	if _, err := broken.Rush(t.Context(), Always(Request("GET", "/", nil)), time.Minute); err == nil {
		t.Error("a broken connection is no error")
	}
	ctx, stop := context.WithCancel(t.Context())
	calm := dial(t, func(http.ResponseWriter, *http.Request) { stop() }, 1)
	if _, err := calm.Rush(ctx, Always(Request("GET", "/", nil)), time.Minute); !errors.Is(err, context.Canceled) {
		t.Errorf("an ended context: %v", err)
	}
}

func TestOnlyThisMachineIsAsked(t *testing.T) {
	for _, addr := range []string{"192.0.2.1:80", "example.org:80", "[2001:db8::1]:80", "0.0.0.0:80"} {
		if _, err := Dial(t.Context(), addr, 1); !errors.Is(err, ErrNotLoopback) {
			t.Errorf("%s: %v", addr, err)
		}
	}
	if _, err := Dial(t.Context(), "127.0.0.1", 1); err == nil {
		t.Error("an address without a port is no error")
	}
	s := httptest.NewServer(nil)
	addr := s.Listener.Addr().String()
	s.Close()
	if _, err := Dial(t.Context(), addr, 1); err == nil {
		t.Error("nobody listens, and that is no error")
	}
}

// Of four times, each is a quarter.
func TestQuantilesAreByNearestRank(t *testing.T) {
	r := newResult(time.Second, [][]time.Duration{{4, 2}, {1, 3}})
	for q, want := range map[float64]time.Duration{0: 1, 0.25: 1, 0.26: 2, 0.5: 2, 0.75: 3, 0.99: 4, 1: 4} {
		if got := r.Quantile(q); got != want {
			t.Errorf("quantile %v is %v, want %v", q, got, want)
		}
	}
	if none := newResult(0, nil); none.Quantile(0.5) != 0 || none.PerSecond() != 0 {
		t.Error("a run without answers has a time")
	}
}

func TestTheMedianIsInTheMiddle(t *testing.T) {
	for want, of := range map[float64][]float64{1: {1}, 2: {9, 2, 1}, 2.5: {4, 1, 3, 2}} {
		if got := Median(of); got != want {
			t.Errorf("of %v: %v", of, got)
		}
	}
}
