package loadtest

import (
	"fmt"
	"slices"
	"time"
)

// Result is what a run came to.
type Result struct {
	Elapsed time.Duration
	took    []time.Duration // ascending
}

func newResult(elapsed time.Duration, took [][]time.Duration) Result {
	r := Result{Elapsed: elapsed, took: slices.Concat(took...)}
	slices.Sort(r.took)
	return r
}

// Count is the number of answers.
func (r *Result) Count() int { return len(r.took) }

// PerSecond is the number of answers in a second.
func (r *Result) PerSecond() float64 {
	if r.Elapsed <= 0 {
		return 0
	}
	return float64(len(r.took)) / r.Elapsed.Seconds()
}

// Quantile is the time within which a share q of the answers came, 0 to 1: the smallest
// time that at least that share did not exceed (nearest rank). 0 without answers.
func (r *Result) Quantile(q float64) time.Duration {
	if len(r.took) == 0 {
		return 0
	}
	rank := int(q*float64(len(r.took))+0.999999) - 1
	return r.took[min(max(rank, 0), len(r.took)-1)]
}

// Median is the one in the middle, or the mean of the two there; of none it panics.
func Median(values []float64) float64 {
	values = slices.Sorted(slices.Values(values))
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}

// Request is a request in the bytes of HTTP/1.1; a body is sent as JSON.
func Request(method, target string, body []byte) []byte {
	if body == nil {
		return RequestOf(method, target, nil)
	}
	return RequestOf(method, target, body, "Content-Type: application/json")
}

// RequestOf is a request with further lines of its head.
func RequestOf(method, target string, body []byte, head ...string) []byte {
	text := method + " " + target + " HTTP/1.1\r\nHost: localhost\r\n"
	for _, line := range head {
		text += line + "\r\n"
	}
	if body != nil {
		text += fmt.Sprintf("Content-Length: %d\r\n", len(body))
	}
	return append([]byte(text+"\r\n"), body...)
}
