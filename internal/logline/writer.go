// Package logline writes a log as lines of JSON, as log/slog does, and lines that nobody waits for in few calls of the system: a
// service that answers ten thousand lookups a second would spend a tenth of its time on its access log otherwise.
//
// A [Writer] is what all lines of a process go to. What is written to it is written at once; what the [Handler] of its
// [Writer.Seldom] is given is held, at most for [Held] and [Room] bytes, and is always written before whatever comes after it.
package logline

import (
	"io"
	"sync"
	"time"
)

const (
	// Held is how long a line is held at most.
	Held = 100 * time.Millisecond
	// Room is how many bytes of lines are held at most.
	Room = 32 << 10
)

// Writer writes lines in the order in which they come. It is safe for concurrent use.
type Writer struct {
	to io.Writer

	mu    sync.Mutex
	held  []byte
	timer *time.Timer // flushes what is held; nil until something was
}

// NewWriter makes a writer on another one, which is never written to by two goroutines at once.
func NewWriter(to io.Writer) *Writer { return &Writer{to: to} }

// Write writes what is held and then a line.
func (w *Writer) Write(line []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if err := w.flush(); err != nil {
		return 0, err
	}
	return w.to.Write(line)
}

// Flush writes what is held.
func (w *Writer) Flush() error {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.flush()
}

// flush writes what is held, once. w.mu is held.
func (w *Writer) flush() error {
	if len(w.held) == 0 {
		return nil
	}
	_, err := w.to.Write(w.held)
	w.held = w.held[:0]
	return err
}

// hold takes a line, to be written soon.
func (w *Writer) hold(line []byte) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	switch {
	case len(w.held)+len(line) > Room:
		if err := w.flush(); err != nil {
			return err
		}
	case len(w.held) > 0: // the timer is set
		w.held = append(w.held, line...)
		return nil
	}
	w.held = append(w.held, line...)
	if w.timer == nil {
		w.timer = time.AfterFunc(Held, func() { _ = w.Flush() }) // there is nobody to tell that the log cannot be written
	} else {
		w.timer.Reset(Held)
	}
	return nil
}

// holder is a writer whose lines are held.
type holder struct{ *Writer }

// Write holds a line.
func (h holder) Write(line []byte) (int, error) { return len(line), h.hold(line) }
