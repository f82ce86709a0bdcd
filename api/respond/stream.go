package respond

import (
	"errors"
	"io"
	"net/http"
	"sync/atomic"
	"time"
)

// pieceTime is how long a client may take for one piece of a body that is streamed.
const pieceTime = 30 * time.Second

// writeStream sends a body that is made while it is sent. The headers go with its first piece: until
// then a failure can still become a problem. After that the connection is cut, so that
// nobody takes a part for the whole.
func (r *Reply) writeStream(w http.ResponseWriter) error {
	pieces := &pieces{to: w, control: http.NewResponseController(w), reply: r}
	err := r.Stream(pieces)
	switch {
	case err == nil:
		pieces.begin()
		return nil
	case !pieces.begun:
		return err
	}
	panic(http.ErrAbortHandler)
}

// pieces sends headers before the first piece, and gives the client time for each.
type pieces struct {
	to      http.ResponseWriter
	control *http.ResponseController
	reply   *Reply
	begun   bool
	cut     atomic.Bool
}

var _ io.Writer = (*pieces)(nil)

// Write sends a piece.
func (p *pieces) Write(piece []byte) (int, error) {
	p.begin()
	_ = p.control.SetWriteDeadline(time.Now().Add(pieceTime)) // where the connection has deadlines at all
	if p.cut.Load() {
		return 0, errCut
	}
	return p.to.Write(piece)
}

var errCut = errors.New("respond: the stream was cut off")

// Cutter is what a stream is written to: it can be cut off while its reader keeps a write
// waiting.
type Cutter interface{ Cut() }

// Cut ends the stream.
func (p *pieces) Cut() {
	p.cut.Store(true)
	_ = p.control.SetWriteDeadline(time.Now())
}

// Flusher is what a stream is written to: what was written so far is sent now.
type Flusher interface{ Flush() }

// Flush sends what was written.
func (p *pieces) Flush() { _ = p.control.Flush() }

func (p *pieces) begin() {
	if p.begun {
		return
	}
	p.begun = true
	for _, line := range p.reply.headers() {
		p.to.Header()[line.name] = line.values
	}
	p.to.WriteHeader(p.reply.Status)
}
