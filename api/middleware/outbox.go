package middleware

import (
	"container/list"
	"net/http"
	"sync"
	"time"

	"github.com/labstack/echo/v4"
)

const (
	// outboxBytes is what answers may take together that are made and not yet taken by their
	// readers. Beyond it the connection of the slowest is cut.
	outboxBytes = 128 << 20
	// largeAnswer is from how many bytes on an answer counts there: the system's own
	// buffers take smaller ones at once.
	largeAnswer = 64 << 10
)

// Outbox bounds the memory of answers that slow readers have not taken yet: when there is too
// much of it, whoever has been reading longest is cut off, so that slow readers hurt each
// other and nobody else.
func Outbox() echo.MiddlewareFunc { return newOutbox(outboxBytes).bound() }

func newOutbox(most int64) *outbox { return &outbox{most: most, reading: list.New()} }

func (o *outbox) bound() echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			r := c.Response()
			r.Writer = &outgoing{ResponseWriter: r.Writer, outbox: o}
			return next(c)
		}
	}
}

type outbox struct {
	most int64

	mu      sync.Mutex
	held    int64
	reading *list.List // of *letter, the oldest first
}

// letter is an answer on its way.
type letter struct {
	bytes int64
	cut   func()
}

// put notes a letter, and cuts off as many old ones as it takes to stay within the bound.
func (o *outbox) put(l *letter) *list.Element {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.held += l.bytes
	for o.held > o.most && o.reading.Len() > 0 {
		oldest := o.reading.Front()
		oldest.Value.(*letter).cut()
		o.remove(oldest)
	}
	return o.reading.PushBack(l)
}

// take forgets a letter that was taken, or cut off.
func (o *outbox) take(e *list.Element) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.remove(e)
}

// remove removes a letter once. o.mu is held.
func (o *outbox) remove(e *list.Element) {
	if l := e.Value.(*letter); l.bytes > 0 {
		o.held -= l.bytes
		l.bytes = 0
		o.reading.Remove(e)
	}
}

// outgoing is a response whose large pieces go through the outbox.
type outgoing struct {
	http.ResponseWriter
	outbox *outbox
}

// Unwrap is for [http.ResponseController].
func (w *outgoing) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// Write sends a piece.
func (w *outgoing) Write(piece []byte) (int, error) {
	if len(piece) < largeAnswer {
		return w.ResponseWriter.Write(piece)
	}
	control := http.NewResponseController(w.ResponseWriter)
	e := w.outbox.put(&letter{bytes: int64(len(piece)), cut: func() { _ = control.SetWriteDeadline(time.Now()) }})
	defer w.outbox.take(e)
	return w.ResponseWriter.Write(piece)
}
