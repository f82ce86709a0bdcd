// Package connections bounds how many connections a server holds. At the bound the one that
// has been idle longest makes room for a new one, so that connections which only lie about
// keep nobody out; where all are at work a new one waits in the system's queue.
package connections

import (
	"container/list"
	"net"
	"net/http"
	"sync"
)

// Bound is a listener whose connections are counted. Its Watch belongs into
// [http.Server.ConnState].
type Bound struct {
	net.Listener
	most int

	mu     sync.Mutex
	room   sync.Cond
	open   int
	idle   *list.List // of *conn, the longest idle first
	shut   bool
	evicts int64
}

// conn gives its place back when it is closed.
type conn struct {
	net.Conn
	bound *Bound
	once  sync.Once
	idle  *list.Element // nil while at work

	gather   sync.Mutex // guards what is below
	held     *[]byte    // of an answer that is not whole yet; nil for nothing
	expected int        // bytes of it; 0 where nothing is gathered
}

// CloseWrite ends what is sent and goes on reading, as net/http does for a client that still
// sends when it is answered: closed at once, the connection would lose the answer.
func (c *conn) CloseWrite() error {
	c.gather.Lock()
	_ = c.release() // a connection that is broken is closed in any case
	c.gather.Unlock()
	if half, ok := c.Conn.(interface{ CloseWrite() error }); ok {
		return half.CloseWrite()
	}
	return nil
}

// Limit bounds the connections of a listener, to at least 1.
func Limit(l net.Listener, most int) *Bound {
	b := &Bound{Listener: l, most: max(most, 1), idle: list.New()}
	b.room.L = &b.mu
	return b
}

// Accept waits for a connection for which there is room.
func (b *Bound) Accept() (net.Conn, error) {
	raw, err := b.Listener.Accept()
	if err != nil {
		return nil, err
	}
	c := &conn{Conn: raw, bound: b}
	if !b.enter(c) {
		_ = raw.Close()
		return nil, net.ErrClosed
	}
	return c, nil
}

// enter takes a place, if need be that of the longest idle; false where the listener was
// closed meanwhile. A connection that has said nothing yet is idle.
func (b *Bound) enter(c *conn) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	for b.open >= b.most && !b.shut {
		if !b.evict() {
			b.room.Wait()
		}
	}
	if b.shut {
		return false
	}
	b.open++
	c.idle = b.idle.PushBack(c)
	return true
}

// evict closes the connection that has been idle longest, where there is one. b.mu is held.
func (b *Bound) evict() bool {
	first := b.idle.Front()
	if first == nil {
		return false
	}
	c := first.Value.(*conn)
	b.setIdle(c, false)
	b.evicts++
	b.leave(c)
	go func() { _ = c.Conn.Close() }() // the lock is not held for the system
	return true
}

// leave gives a place back, once. b.mu is held.
func (b *Bound) leave(c *conn) {
	c.once.Do(func() {
		b.setIdle(c, false)
		b.open--
		b.room.Signal()
	})
}

func (b *Bound) setIdle(c *conn, idle bool) {
	switch {
	case idle && c.idle == nil:
		c.idle = b.idle.PushBack(c)
		b.room.Signal() // whoever waits can have its place
	case !idle && c.idle != nil:
		b.idle.Remove(c.idle)
		c.idle = nil
	}
}

// Close closes the connection and gives its place back.
func (c *conn) Close() error {
	c.bound.mu.Lock()
	c.bound.leave(c)
	c.bound.mu.Unlock()
	return c.Conn.Close() // what is held is of an answer that broke off
}

// Watch notes which connections are at work.
func (b *Bound) Watch(of net.Conn, state http.ConnState) {
	if secured, ok := of.(interface{ NetConn() net.Conn }); ok { // TLS
		of = secured.NetConn()
	}
	c, ok := of.(*conn)
	if !ok {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	switch state {
	case http.StateActive:
		b.setIdle(c, false)
	case http.StateIdle:
		b.setIdle(c, true)
	default: // new is idle from the start, closed and hijacked come through Close
	}
}

// Close closes the listener; whoever waits for room in Accept is sent away.
func (b *Bound) Close() error {
	b.mu.Lock()
	b.shut = true
	b.room.Broadcast()
	b.mu.Unlock()
	return b.Listener.Close()
}

// Count tells how many connections are open, how many of them idle, and how many idle ones
// had to make room since the beginning.
func (b *Bound) Count() (open, idle int, evicted int64) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.open, b.idle.Len(), b.evicts
}
