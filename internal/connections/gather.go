package connections

import (
	"context"
	"net"
	"sync"
)

// gathered is the longest answer whose pieces are gathered: a longer one is many calls of the system in any case.
const gathered = 32 << 10

type gatherKey struct{}

// Context gives a connection to the requests on it, for [Gather]. It belongs into [http.Server.ConnContext]. One with TLS,
// which makes records of its own, is not given.
func Context(ctx context.Context, of net.Conn) context.Context {
	if c, ok := of.(*conn); ok {
		return context.WithValue(ctx, gatherKey{}, c)
	}
	return ctx
}

// Gather says that an answer of at least so many bytes, headers and all, is about to be written to the connection of a
// request, as a whole and without a pause. net/http writes it in pieces of 4 KB; held together they are one
// call of the system, which for an answer of a few KB is most of what answering costs. A promise of more bytes than come
// would keep the last of them until the client's next request.
func Gather(ctx context.Context, atLeast int) {
	if atLeast <= piece || atLeast > gathered {
		return
	}
	c, ok := ctx.Value(gatherKey{}).(*conn)
	if !ok {
		return
	}
	c.gather.Lock()
	defer c.gather.Unlock()
	c.expected = atLeast
}

// piece is what net/http writes at once.
const piece = 4 << 10

// buffers hold answers that are gathered.
var buffers = sync.Pool{New: func() any { b := make([]byte, 0, gathered+piece); return &b }}

// Write sends a piece, or holds it until the rest of its answer is there.
func (c *conn) Write(p []byte) (int, error) {
	c.gather.Lock()
	if c.held == nil && len(p) >= c.expected {
		c.expected = 0
		c.gather.Unlock()
		return c.Conn.Write(p)
	}
	defer c.gather.Unlock()
	if c.held == nil {
		c.held = buffers.Get().(*[]byte)
	}
	*c.held = append(*c.held, p...)
	if len(*c.held) < c.expected {
		return len(p), nil
	}
	if err := c.release(); err != nil {
		return 0, err
	}
	return len(p), nil
}

// Read sends what is held first: whoever reads expects to be answered no more.
func (c *conn) Read(p []byte) (int, error) {
	c.gather.Lock()
	err := c.release()
	c.gather.Unlock()
	if err != nil {
		return 0, err
	}
	return c.Conn.Read(p)
}

// release sends what is held. c.gather is held.
func (c *conn) release() error {
	if c.held == nil {
		return nil
	}
	all := c.held
	c.held, c.expected = nil, 0
	_, err := c.Conn.Write(*all)
	if cap(*all) <= 2*gathered {
		*all = (*all)[:0]
		buffers.Put(all)
	}
	return err
}
