// Package loadtest asks a server on this machine as fast as it answers, or at a steady
// pace, and tells how long the answers took. It is bounded in time and talks to
// loopback only.
//
// The client costs little, so that what is measured is the server: requests are bytes that were made
// before, and of an answer only its status and its end are looked for. On Linux one thread serves all
// connections; see [Pin] for a processor of its own.
package loadtest

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"time"
)

// ErrNotLoopback is the error of an address that is not on this machine.
var ErrNotLoopback = errors.New("a load test talks to loopback addresses only")

// dialTimeout bounds how long a connection may take to come about.
const dialTimeout = 5 * time.Second

// onLoopback is nil for host:port where the host is a loopback address.
func onLoopback(addr string) error {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		return fmt.Errorf("loadtest: %w", err)
	}
	if ip := net.ParseIP(host); ip == nil || !ip.IsLoopback() {
		return fmt.Errorf("loadtest: %s: %w", addr, ErrNotLoopback)
	}
	return nil
}

// Source gives the n-th request as bytes on the wire, counted from 0. It may be asked by
// several goroutines at once.
type Source func(n int64) []byte

// Always is a source of one request over and over.
func Always(request []byte) Source { return func(int64) []byte { return request } }

// plan is what a run asks, when, and what becomes of the answers.
type plan struct {
	// next says when the n-th request is due, and whether there is one.
	next func(n int64) (due time.Time, more bool)
	from Source
	// answered takes an answer: on which connection, of those counted from 0, when its request was due
	// and sent, its status, and the beginning of its body where the status is none of success. An error
	// ends the run. Answers on different connections may come at the same time.
	answered func(conn int, due, sent time.Time, status int, start []byte) error
}

// Rush asks on every connection as fast as answers come, for about d or until ctx ends.
// An answer other than 2xx or 304, or a broken connection, is the error.
func (t *Target) Rush(ctx context.Context, from Source, d time.Duration) (Result, error) {
	end := time.Now().Add(d)
	return t.timed(ctx, from, func(int64) (due time.Time, more bool) {
		now := time.Now()
		return now, now.Before(end)
	})
}

// Pace asks so many times a second at even distances, for about d or until ctx ends. A
// request that finds every connection busy waits, and the time it waited counts: how long
// an answer took is measured from when it was due, so that a server that falls behind
// cannot hide it.
func (t *Target) Pace(ctx context.Context, from Source, perSecond float64, d time.Duration) (Result, error) {
	return t.timed(ctx, from, evenly(perSecond, d))
}

// evenly is so many times a second at even distances, for about d from now on.
func evenly(perSecond float64, d time.Duration) func(n int64) (due time.Time, more bool) {
	start, step := time.Now(), float64(time.Second)/perSecond
	return func(n int64) (due time.Time, more bool) {
		after := time.Duration(float64(n) * step)
		return start.Add(after), after < d
	}
}

func (t *Target) timed(ctx context.Context, from Source, next func(int64) (time.Time, bool)) (Result, error) {
	took := make([][]time.Duration, t.connections())
	start := time.Now()
	err := t.run(ctx, plan{next, from, func(conn int, due, _ time.Time, status int, body []byte) error {
		if !sound(status) {
			return wrongAnswer(status, body)
		}
		took[conn] = append(took[conn], time.Since(due))
		return nil
	}})
	return newResult(time.Since(start), took), err
}

// sound reports a status that is an answer to the question.
func sound(status int) bool { return status/100 == 2 || status == http.StatusNotModified }

func wrongAnswer(status int, body []byte) error {
	return fmt.Errorf("loadtest: the answer is %d: %s", status, body)
}
