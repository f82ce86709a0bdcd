package api

import (
	"context"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

func TestReadinessChecksShareOnePing(t *testing.T) {
	var pings atomic.Int32
	release := make(chan struct{})
	p := newPinger(Config{PingInterval: time.Second, PingTimeout: time.Minute, Now: time.Now, Ping: func(context.Context) error {
		pings.Add(1)
		<-release
		return nil
	}})
	var waiting sync.WaitGroup
	for range 20 {
		waiting.Go(func() {
			if err := p.check(t.Context()); err != nil {
				t.Error(err)
			}
		})
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := p.check(ctx); err == nil {
		t.Error("a caller that went away was told that all is well")
	}
	close(release)
	waiting.Wait()
	if n := pings.Load(); n != 1 {
		t.Errorf("%d pings", n)
	}
}
