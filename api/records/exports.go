package records

import (
	"context"
	"sync"

	"github.com/google/uuid"
)

const (
	// maxExports is how many exports run at the same time: each holds a connection to the database
	// for as long as its reader takes.
	maxExports = 4
	// maxExportsEach is how many of them are one organization's. A further one takes the place
	// of its oldest, whose reader has probably gone: one that was cut off keeps nobody waiting.
	maxExportsEach = 2
)

// exports are those under way.
type exports struct {
	mu  sync.Mutex
	now []*underWay // the oldest first
}

// underWay is one export.
type underWay struct {
	whose uuid.UUID
	stop  context.CancelFunc
}

func newExports() *exports {
	return &exports{}
}

// begin makes room for an export of an organization, if need be by ending its oldest one, and
// gives the context to run it under. ok is false where other organizations have all places.
func (e *exports) begin(ctx context.Context, whose uuid.UUID) (_ context.Context, end func(), ok bool) {
	e.mu.Lock()
	defer e.mu.Unlock()
	oldest, own := (*underWay)(nil), 0
	for _, x := range e.now {
		if x.whose == whose {
			if own++; oldest == nil {
				oldest = x
			}
		}
	}
	if own >= maxExportsEach || oldest != nil && len(e.now) >= maxExports {
		oldest.stop()
		e.remove(oldest) // it ends on its own; its place is free now
	} else if len(e.now) >= maxExports {
		return nil, nil, false
	}
	ctx, stop := context.WithCancel(ctx)
	x := &underWay{whose, stop}
	e.now = append(e.now, x)
	return ctx, func() {
		stop()
		e.mu.Lock()
		defer e.mu.Unlock()
		e.remove(x)
	}, true
}

// remove forgets an export, where it is still known. e.mu is held.
func (e *exports) remove(x *underWay) {
	for i := range e.now {
		if e.now[i] == x {
			e.now = append(e.now[:i:i], e.now[i+1:]...)
			return
		}
	}
}
