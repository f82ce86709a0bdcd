package loadtest

import (
	"context"
	"net/http"
	"time"
)

// Overloaded is what asking for more than a server can do came to.
type Overloaded struct {
	Served  Result // the answers with success, each timed from when its request was sent or due
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
	return t.OverloadAfter(ctx, from, perSecond, 0, d)
}

// OverloadAfter is [Target.Overload] of which the beginning is not counted: what is sent before so long has passed.
func (t *Target) OverloadAfter(ctx context.Context, from Source, perSecond float64, settle, d time.Duration) (Overloaded, error) {
	start, step, whole := time.Now(), float64(time.Second)/perSecond, settle+d
	return t.served(ctx, from, start.Add(settle), func(n int64) (due time.Time, more bool) {
		after := time.Duration(float64(n) * step)
		return start.Add(after), after < whole && time.Since(start) < whole
	}, func(_, sent time.Time) time.Time { return sent })
}

// PaceServed is [Target.Pace] of a server that may refuse: all are timed from when they were due.
func (t *Target) PaceServed(ctx context.Context, from Source, perSecond float64, d time.Duration) (Overloaded, error) {
	return t.served(ctx, from, time.Now(), evenly(perSecond, d), func(due, _ time.Time) time.Time { return due })
}

// served tells what is served from what is refused, of what is sent from a moment on; each is timed from a moment that since says.
func (t *Target) served(ctx context.Context, from Source, counted time.Time, next func(int64) (time.Time, bool), since func(due, sent time.Time) time.Time) (Overloaded, error) {
	served, refused := make([][]time.Duration, t.connections()), make([][]time.Duration, t.connections())
	err := t.run(ctx, plan{next, from, func(conn int, due, sent time.Time, status int, body []byte) error {
		took := time.Since(since(due, sent))
		switch {
		case sent.Before(counted) && expected(status):
		case sound(status):
			served[conn] = append(served[conn], took)
		case expected(status):
			refused[conn] = append(refused[conn], took)
		default:
			return wrongAnswer(status, body)
		}
		return nil
	}})
	elapsed := time.Since(counted)
	return Overloaded{newResult(elapsed, served), newResult(elapsed, refused)}, err
}

// expected reports that a status is one of success, or a refusal.
func expected(status int) bool {
	return sound(status) || status == http.StatusServiceUnavailable || status == http.StatusTooManyRequests
}
