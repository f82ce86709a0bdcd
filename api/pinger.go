package api

import (
	"context"
	"sync"
	"time"
)

// pinger asks whether the database answers, at most once in an interval: checks that
// come meanwhile share the answer, so they never pile up on a dead database.
type pinger struct {
	ping              func(context.Context) error
	interval, timeout time.Duration
	now               func() time.Time

	mu     sync.Mutex
	at     time.Time
	err    error
	flight chan struct{} // closed when the ping under way ends; nil when none is
}

func newPinger(cfg Config) *pinger {
	return &pinger{ping: cfg.Ping, interval: cfg.PingInterval, timeout: cfg.PingTimeout, now: cfg.Now}
}

// check returns the fresh or shared answer, or the context's error when the caller
// stops waiting first. Without a database it is nil.
func (p *pinger) check(ctx context.Context) error {
	if p.ping == nil {
		return nil
	}
	p.mu.Lock()
	if p.flight == nil && (p.at.IsZero() || p.now().Sub(p.at) >= p.interval) {
		p.flight = make(chan struct{})
		go p.ask(context.WithoutCancel(ctx), p.flight)
	}
	flight, err := p.flight, p.err
	p.mu.Unlock()
	if flight == nil {
		return err
	}
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-flight:
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.err
}

// ask pings once, within the timeout, for all who wait.
func (p *pinger) ask(ctx context.Context, flight chan struct{}) {
	ctx, cancel := context.WithTimeout(ctx, p.timeout)
	defer cancel()
	err := p.ping(ctx)
	p.mu.Lock()
	defer p.mu.Unlock()
	p.at, p.err, p.flight = p.now(), err, nil
	close(flight)
}
