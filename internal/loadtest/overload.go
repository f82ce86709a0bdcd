package loadtest

import (
	"context"
	"net/http"
	"time"
)

// Overloaded is what asking for more than a server can do came to.
type Overloaded struct {
	Served  Result // the answers with success, each timed from when its request was sent
	Refused Result // those with 429 or 503
}

// Share is how much of what was asked was served, 0 to 1.
func (o *Overloaded) Share() float64 {
	all := o.Served.Count() + o.Refused.Count()
	if all == 0 {
		return 0
	}
	return float64(o.Served.Count()) / float64(all)
}

// Overload asks so many times a second at even distances, for about d or until ctx ends,
// and lets the server refuse. There must be connections enough that one is free for
// every request that is due: those that find none are asked as soon as one is, and not at all
// after d.
func (t *Target) Overload(ctx context.Context, from Source, perSecond float64, d time.Duration) (Overloaded, error) {
	served, refused := make([][]time.Duration, t.connections()), make([][]time.Duration, t.connections())
	start, step := time.Now(), float64(time.Second)/perSecond
	next := func(n int64) (due time.Time, more bool) {
		after := time.Duration(float64(n) * step)
		return start.Add(after), after < d && time.Since(start) < d
	}
	err := t.run(ctx, plan{next, from, func(conn int, _, sent time.Time, status int, body []byte) error {
		switch {
		case sound(status):
			served[conn] = append(served[conn], time.Since(sent))
		case status == http.StatusServiceUnavailable || status == http.StatusTooManyRequests:
			refused[conn] = append(refused[conn], time.Since(sent))
		default:
			return wrongAnswer(status, body)
		}
		return nil
	}})
	elapsed := time.Since(start)
	return Overloaded{newResult(elapsed, served), newResult(elapsed, refused)}, err
}
