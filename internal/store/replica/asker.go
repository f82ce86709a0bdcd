package replica

import (
	"context"
	"sync"
	"time"
)

// asker asks the primary for its position. Whoever wants it while a question is under way waits for the next one,
// which is sent afterwards and is one for all of them: an answer to a question that was sent earlier says nothing of
// what was committed since.
type asker struct {
	ask    func(context.Context) (Position, error)
	within time.Duration

	mu      sync.Mutex
	next    *question // not sent yet; nil where nobody waits
	sending bool
}

type question struct {
	done chan struct{} // closed when at and err are there
	at   Position
	err  error
}

// position is how far the primary has come, at this moment or a later one.
func (a *asker) position(ctx context.Context) (Position, error) {
	q := a.join()
	select {
	case <-q.done:
		return q.at, q.err
	case <-ctx.Done():
		return 0, ctx.Err()
	}
}

func (a *asker) join() *question {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.next == nil {
		a.next = &question{done: make(chan struct{})}
	}
	if !a.sending {
		a.sending = true
		go a.send()
	}
	return a.next
}

// send sends questions, one after the other, for as long as somebody waits for one.
func (a *asker) send() {
	for {
		a.mu.Lock()
		q := a.next
		a.next, a.sending = nil, q != nil
		a.mu.Unlock()
		if q == nil {
			return
		}
		ctx, cancel := context.WithTimeout(context.Background(), a.within)
		q.at, q.err = a.ask(ctx)
		cancel()
		close(q.done)
	}
}
