package admission

import (
	"context"
	"errors"
	"sync/atomic"
	"time"

	"golang.org/x/sync/semaphore"
)

// ErrRefused says that there was no room in time. Nothing was begun.
var ErrRefused = errors.New("admission: no room in time")

// Options are the measures of a gate.
type Options struct {
	// Capacity is the weight at work at the same time, at least 1.
	Capacity int64
	// Waiting is how many pieces of work may wait. Zero means none.
	Waiting int
	// Patience is how long work waits in a rush that passes. Zero means not at all.
	Patience time.Duration
	// Rush is how long a queue may stand before it is overload. Zero means 500 ms.
	Rush time.Duration
	// Stretch is how many times its own duration work waits under overload. Zero means
	// 1.5, with which what is served takes less than three times as long as in quiet.
	Stretch float64
}

// leastPatience is how long work waits under overload at the least: timers and schedulers
// are no finer.
const leastPatience = 2 * time.Millisecond

func (o Options) withDefaults() Options {
	o.Capacity = max(o.Capacity, 1)
	if o.Rush <= 0 {
		o.Rush = 500 * time.Millisecond
	}
	if o.Stretch <= 0 {
		o.Stretch = 1.5
	}
	return o
}

// Gate lets in work by its weight. It is safe for concurrent use.
type Gate struct {
	o     Options
	start time.Time
	room  *semaphore.Weighted
	pace  pace

	running atomic.Int64 // weight
	waiting atomic.Int64 // pieces
	refused atomic.Int64 // pieces, ever
	empty   atomic.Int64 // nanoseconds from start to when the queue was last seen empty
}

// New makes a gate.
func New(o Options) *Gate {
	o = o.withDefaults()
	return &Gate{o: o, start: time.Now(), room: semaphore.NewWeighted(o.Capacity)}
}

// Enter waits until there is room for work of a weight, and returns its pass. A weight
// beyond the capacity takes all of it. The error is [ErrRefused] or that of ctx.
func (g *Gate) Enter(ctx context.Context, weight int64) (*Pass, error) {
	weight = min(max(weight, 1), g.o.Capacity)
	if g.room.TryAcquire(weight) {
		if g.waiting.Load() == 0 {
			g.sawEmpty()
		}
		return g.admit(weight, 0), nil
	}
	begin := time.Now()
	if err := g.wait(ctx, weight); err != nil {
		return nil, err
	}
	return g.admit(weight, time.Since(begin)), nil
}

func (g *Gate) wait(ctx context.Context, weight int64) error {
	n := g.waiting.Add(1)
	defer func() {
		if g.waiting.Add(-1) == 0 {
			g.sawEmpty()
		}
	}()
	patience := g.patience(weight, n == 1)
	if n > int64(g.o.Waiting) || patience <= 0 {
		return g.refuse()
	}
	limited, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	if g.room.Acquire(limited, weight) == nil {
		return nil
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return g.refuse()
}

// patience is how long work of a weight may wait now.
func (g *Gate) patience(weight int64, first bool) time.Duration {
	if first {
		g.sawEmpty()
	}
	if g.now()-time.Duration(g.empty.Load()) < g.o.Rush {
		return g.o.Patience
	}
	own := time.Duration(g.o.Stretch * float64(g.pace.of(weight)))
	return min(g.o.Patience, max(own, leastPatience))
}

func (g *Gate) now() time.Duration { return time.Since(g.start) }

func (g *Gate) sawEmpty() { g.empty.Store(int64(g.now())) }

func (g *Gate) refuse() error {
	g.refused.Add(1)
	return ErrRefused
}

func (g *Gate) admit(weight int64, waited time.Duration) *Pass {
	g.running.Add(weight)
	return &Pass{gate: g, weight: weight, begun: time.Now(), Waited: waited}
}

// State is a gate at one moment.
type State struct {
	Capacity, Running int64 // weight
	Waiting, Refused  int64 // pieces of work; Refused since the beginning
}

// State tells how busy the gate is.
func (g *Gate) State() State {
	return State{g.o.Capacity, g.running.Load(), g.waiting.Load(), g.refused.Load()}
}
