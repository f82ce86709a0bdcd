// Package loadtest asks a server on this machine as fast as it answers, or at a steady
// pace, and tells how long the answers took. It is bounded in time and talks to
// loopback only.
package loadtest

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"sync"
	"sync/atomic"
	"time"
)

// ErrNotLoopback is the error of an address that is not on this machine.
var ErrNotLoopback = errors.New("a load test talks to loopback addresses only")

// dialTimeout bounds how long a connection may take to come about.
const dialTimeout = 5 * time.Second

// Target is a server with connections that are kept open.
type Target struct{ conns []*connection }

// connection is one connection; one request at a time is on it.
type connection struct {
	net.Conn
	reader *bufio.Reader
}

// Dial opens so many connections to a server, host:port, where the host is a loopback
// address. It must be closed in the end.
func Dial(ctx context.Context, addr string, connections int) (*Target, error) {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		return nil, fmt.Errorf("loadtest: %w", err)
	}
	if ip := net.ParseIP(host); ip == nil || !ip.IsLoopback() {
		return nil, fmt.Errorf("loadtest: %s: %w", addr, ErrNotLoopback)
	}
	t := &Target{}
	d := net.Dialer{Timeout: dialTimeout}
	for range connections {
		conn, err := d.DialContext(ctx, "tcp", addr)
		if err != nil {
			return nil, errors.Join(fmt.Errorf("loadtest: %w", err), t.Close())
		}
		t.conns = append(t.conns, &connection{conn, bufio.NewReader(conn)})
	}
	return t, nil
}

// Close closes all connections.
func (t *Target) Close() (err error) {
	for _, c := range t.conns {
		err = errors.Join(err, c.Close())
	}
	return err
}

// Source gives the n-th request as bytes on the wire, counted from 0. It is asked by
// several goroutines at once.
type Source func(n int64) []byte

// Always is a source of one request over and over.
func Always(request []byte) Source { return func(int64) []byte { return request } }

// Rush asks on every connection as fast as answers come, for about d or until ctx ends.
// An answer other than 200, or a broken connection, is the error.
func (t *Target) Rush(ctx context.Context, from Source, d time.Duration) (Result, error) {
	end := time.Now().Add(d)
	return t.run(ctx, func(int64) (due time.Time, more bool) {
		now := time.Now()
		return now, now.Before(end)
	}, from)
}

// Pace asks so many times a second at even distances, for about d or until ctx ends. A
// request that finds every connection busy waits, and the time it waited counts: how long
// an answer took is measured from when it was due, so that a server that falls behind
// cannot hide it.
func (t *Target) Pace(ctx context.Context, from Source, perSecond float64, d time.Duration) (Result, error) {
	start := time.Now()
	step := float64(time.Second) / perSecond
	return t.run(ctx, func(n int64) (due time.Time, more bool) {
		after := time.Duration(float64(n) * step)
		return start.Add(after), after < d
	}, from)
}

// run asks on every connection, each time for the next request that is due.
func (t *Target) run(ctx context.Context, next func(n int64) (due time.Time, more bool), from Source) (Result, error) {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	var count atomic.Int64
	took := make([][]time.Duration, len(t.conns))
	start := time.Now()
	var wg sync.WaitGroup
	for i, c := range t.conns {
		wg.Go(func() {
			for ctx.Err() == nil {
				n := count.Add(1) - 1
				due, more := next(n)
				if !more {
					return
				}
				time.Sleep(time.Until(due))
				if err := c.ask(from(n)); err != nil {
					stop(err)
					return
				}
				took[i] = append(took[i], time.Since(due))
			}
		})
	}
	wg.Wait()
	r := newResult(time.Since(start), took)
	return r, context.Cause(ctx)
}

// ask sends a request and reads the whole answer, which must be a 200.
func (c *connection) ask(request []byte) error {
	status, start, err := c.exchange(request)
	if err == nil && status != http.StatusOK {
		err = fmt.Errorf("loadtest: the answer is %d: %s", status, start)
	}
	return err
}

// exchange sends a request and reads the whole answer; start is the beginning of its body
// where it is no 200.
func (c *connection) exchange(request []byte) (status int, start []byte, err error) {
	if _, err := c.Write(request); err != nil {
		return 0, nil, fmt.Errorf("loadtest: %w", err)
	}
	answer, err := http.ReadResponse(c.reader, nil)
	if err != nil {
		return 0, nil, fmt.Errorf("loadtest: %w", err)
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		start, _ = io.ReadAll(io.LimitReader(answer.Body, 500))
	}
	_, err = io.Copy(io.Discard, answer.Body)
	return answer.StatusCode, start, err
}
