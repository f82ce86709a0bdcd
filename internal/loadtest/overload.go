package loadtest

import (
	"context"
	"fmt"
	"net/http"
	"sync"
	"sync/atomic"
	"time"
)

// Overloaded is what asking for more than a server can do came to.
type Overloaded struct {
	Served  Result // the answers with 200, each timed from when its request was sent
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
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	served, refused := make([][]time.Duration, len(t.conns)), make([][]time.Duration, len(t.conns))
	var count atomic.Int64
	start, step := time.Now(), float64(time.Second)/perSecond
	var wg sync.WaitGroup
	for i, c := range t.conns {
		wg.Go(func() {
			for ctx.Err() == nil {
				n := count.Add(1) - 1
				after := time.Duration(float64(n) * step)
				if after >= d || time.Since(start) >= d {
					return
				}
				time.Sleep(time.Until(start.Add(after)))
				sent := time.Now()
				status, body, err := c.exchange(from(n))
				switch took := time.Since(sent); {
				case err != nil:
					stop(err)
				case status == http.StatusOK:
					served[i] = append(served[i], took)
				case status == http.StatusServiceUnavailable || status == http.StatusTooManyRequests:
					refused[i] = append(refused[i], took)
				default:
					stop(fmt.Errorf("loadtest: the answer is %d: %s", status, body))
				}
			}
		})
	}
	wg.Wait()
	elapsed := time.Since(start)
	return Overloaded{newResult(elapsed, served), newResult(elapsed, refused)}, context.Cause(ctx)
}
