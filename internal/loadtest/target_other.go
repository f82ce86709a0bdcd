//go:build !linux

package loadtest

import (
	"context"
	"errors"
	"fmt"
	"net"
	"sync"
	"sync/atomic"
	"time"
)

// Target is a server with connections that are kept open, each served by a goroutine.
type Target struct{ conns []*connection }

// connection is one connection; one request at a time is on it.
type connection struct {
	net.Conn
	frame  frame
	buffer []byte
}

// Dial opens so many connections to a server, host:port, where the host is a loopback
// address. It must be closed in the end.
func Dial(ctx context.Context, addr string, connections int) (*Target, error) {
	if err := onLoopback(addr); err != nil {
		return nil, err
	}
	t := &Target{}
	d := net.Dialer{Timeout: dialTimeout}
	for range connections {
		conn, err := d.DialContext(ctx, "tcp", addr)
		if err != nil {
			return nil, errors.Join(fmt.Errorf("loadtest: %w", err), t.Close())
		}
		t.conns = append(t.conns, &connection{Conn: conn, buffer: make([]byte, 64<<10)})
	}
	return t, nil
}

func (t *Target) connections() int { return len(t.conns) }

// Close closes all connections.
func (t *Target) Close() (err error) {
	for _, c := range t.conns {
		err = errors.Join(err, c.Close())
	}
	return err
}

// run asks on every connection, each time for the next request that is due.
func (t *Target) run(ctx context.Context, p plan) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	var count atomic.Int64
	var wg sync.WaitGroup
	for i, c := range t.conns {
		wg.Go(func() {
			for ctx.Err() == nil {
				n := count.Add(1) - 1
				due, more := p.next(n)
				if !more {
					return
				}
				time.Sleep(time.Until(due))
				sent := time.Now()
				err := c.exchange(p.from(n))
				if err == nil {
					err = p.answered(i, due, sent, c.frame.status, c.frame.start)
				}
				if err != nil {
					stop(err)
				}
			}
		})
	}
	wg.Wait()
	return context.Cause(ctx)
}

// exchange sends a request and reads the whole answer.
func (c *connection) exchange(request []byte) error {
	c.frame.again()
	if _, err := c.Write(request); err != nil {
		return fmt.Errorf("loadtest: %w", err)
	}
	for {
		n, err := c.Read(c.buffer)
		if err != nil {
			return fmt.Errorf("loadtest: %w", err)
		}
		rest, done, err := c.frame.feed(c.buffer[:n])
		if err == nil && len(rest) > 0 {
			err = fmt.Errorf("%w: more came than was asked for", errFrame)
		}
		if done || err != nil {
			return err
		}
	}
}
