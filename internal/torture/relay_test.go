//go:build linux

package torture

import (
	"net"
	"sync"
	"testing"
)

// relay is a way through the network from one address to another, which can be cut: what is sent stays unanswered, as
// when a cable is pulled, and goes on when it is mended.
type relay struct {
	port string
	to   string
	mu   sync.Mutex
	open *sync.Cond
	cut  bool
	over bool
	ends []net.Conn
}

func newRelay(t *testing.T, to string) *relay {
	t.Helper()
	l, err := net.Listen("tcp", host+":0")
	if err != nil {
		t.Fatal(err)
	}
	r := &relay{to: to}
	r.open = sync.NewCond(&r.mu)
	_, r.port, _ = net.SplitHostPort(l.Addr().String())
	go func() {
		for {
			conn, err := l.Accept()
			if err != nil {
				return // the test is over
			}
			go r.carry(conn)
		}
	}()
	t.Cleanup(func() {
		_ = l.Close()
		r.mu.Lock()
		defer r.mu.Unlock()
		r.over = true
		for _, end := range r.ends {
			_ = end.Close()
		}
		r.open.Broadcast()
	})
	return r
}

// set cuts the way or mends it.
func (r *relay) set(cut bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.cut = cut
	r.open.Broadcast()
}

// passable waits until the way is open; false is the end of the test.
func (r *relay) passable() bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	for r.cut && !r.over {
		r.open.Wait()
	}
	return !r.over
}

// carry joins a connection with one to the other end, until either is closed.
func (r *relay) carry(from net.Conn) {
	defer from.Close()
	if !r.passable() {
		return
	}
	to, err := net.Dial("tcp", r.to)
	if err != nil {
		return // nobody is there
	}
	defer to.Close()
	r.mu.Lock()
	r.ends = append(r.ends, from, to)
	r.mu.Unlock()
	var both sync.WaitGroup
	both.Go(func() { r.pass(to, from) })
	both.Go(func() { r.pass(from, to) })
	both.Wait()
}

// pass carries bytes one way. The end of one way ends both: who talks here does so in turns.
func (r *relay) pass(to, from net.Conn) {
	defer to.Close()
	defer from.Close()
	buffer := make([]byte, 32<<10)
	for {
		n, err := from.Read(buffer)
		if !r.passable() {
			return
		}
		if n > 0 {
			if _, err := to.Write(buffer[:n]); err != nil {
				return
			}
		}
		if err != nil {
			return
		}
	}
}
