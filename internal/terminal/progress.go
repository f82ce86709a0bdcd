package terminal

import (
	"fmt"
	"io"
	"sync"
	"time"
)

// What takes less than patience is not told of; what is told is written anew every refresh.
const patience, refresh = 500 * time.Millisecond, 200 * time.Millisecond

// Progress is one line on a terminal that says how far long work has come and how long it will take yet. It is written over again
// and again and taken back at the end; in a pipe there is none. Its methods may be called from several goroutines.
type Progress struct {
	to   io.Writer
	now  func() time.Time
	stop chan struct{} // closed at the end; nil where nobody is looking
	over sync.WaitGroup

	mu      sync.Mutex
	what    string
	counted bool    // what is a noun for total things
	of      float64 // all the work
	done    float64
	step    float64 // of the work that is under way, in steps
	begun   time.Time
	at      time.Time // when done was last known
	written bool
}

// Count shows how many of so many things are done; noun is what they are called.
func Count(w io.Writer, env Getenv, noun string, of int) *Progress {
	p := &Progress{to: w, now: time.Now, what: noun, counted: true, of: float64(of)}
	return p.start(Watched(w, env))
}

// Steps shows which of some steps is under way. of is the work of all of them, in any unit; see [Progress.Step].
func Steps(w io.Writer, env Getenv, of float64) *Progress {
	p := &Progress{to: w, now: time.Now, of: of}
	return p.start(Watched(w, env))
}

func (p *Progress) start(watched bool) *Progress {
	p.begun = p.now()
	p.at = p.begun
	if !watched {
		return p
	}
	p.stop = make(chan struct{})
	p.over.Go(func() {
		tick := time.NewTicker(refresh)
		defer tick.Stop()
		for {
			select {
			case <-p.stop:
				return
			case <-tick.C:
				p.show()
			}
		}
	})
	return p
}

// Done says how many things are done by now.
func (p *Progress) Done(n int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done, p.at = float64(n), p.now()
}

// Step begins a step with so much work in it; the one before is done.
func (p *Progress) Step(what string, work float64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done, p.step, p.what, p.at = p.done+p.step, work, what, p.now()
}

// End takes the line back. Whatever else is written, is written after it.
func (p *Progress) End() {
	if p.stop != nil {
		close(p.stop)
		p.over.Wait()
		p.stop = nil
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.erase()
}

// Aside takes the line back while something else is written to the terminal.
func (p *Progress) Aside(write func()) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.erase()
	write()
}

func (p *Progress) erase() {
	if p.written {
		fmt.Fprint(p.to, "\r\x1b[K")
		p.written = false
	}
}

// show writes the line anew.
func (p *Progress) show() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if now := p.now(); now.Sub(p.begun) >= patience {
		fmt.Fprintf(p.to, "\r\x1b[K%s", p.text(now))
		p.written = true
	}
}

// text says how far it is. What was done by then took its time, and what is left takes as long for as much.
func (p *Progress) text(now time.Time) string {
	text := p.what
	if p.counted {
		text = fmt.Sprintf("%.0f of %.0f %s", p.done, p.of, p.what)
	}
	if p.done <= 0 {
		return fmt.Sprintf("%s, %.0f s so far", text, now.Sub(p.begun).Seconds())
	}
	left := p.at.Sub(p.begun).Seconds()*(p.of-p.done)/p.done - now.Sub(p.at).Seconds()
	return fmt.Sprintf("%s, about %.0f s left", text, max(1, left))
}
