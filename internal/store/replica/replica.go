package replica

import (
	"context"
	"sync"
	"sync/atomic"
	"time"

	"github.com/jackc/pgx/v5/pgxpool"
)

// Reason is why a read was made on the primary.
type Reason string

// The reasons. Each has a word for the metrics.
const (
	Gone    Reason = "gone"      // the replica does not answer, or follows no primary
	Lagging Reason = "lagging"   // it is further behind than Options.MaxLag
	Behind  Reason = "behind"    // it did not have what was committed within Options.Wait
	Busy    Reason = "busy"      // all connections to it are in use
	Failed  Reason = "failed"    // it could not finish the read, for example because replaying a change was in its way
	Unasked Reason = "no_answer" // the primary did not say how far it has come
)

// Reasons lists them all.
var Reasons = [...]Reason{Gone, Lagging, Behind, Busy, Failed, Unasked}

// Options say how long is waited for what. All are needed.
type Options struct {
	// Wait is for how long a read waits for the replica to have what was committed before it.
	Wait time.Duration
	// Patience bounds what a read waits for before its first statement: longer, and the replica is gone.
	Patience time.Duration
	// MaxLag is how far behind the replica may be to be asked at all, up to a minute.
	MaxLag time.Duration
	// Every is how often Follow looks.
	Every time.Duration
}

// Replica is a copy of the database. Its methods are safe for concurrent use.
type Replica struct {
	pool  *pgxpool.Pool
	opts  Options
	asker asker

	mu      sync.Mutex
	why     Reason // it is not asked for now; empty while it is
	lag     time.Duration
	track   track
	reached Position  // the furthest it was seen at since it was last found
	rests   time.Time // until then it is not waited for to get beyond reached

	reads     atomic.Int64
	elsewhere [len(Reasons)]atomic.Int64
}

// New makes a replica that is reached through a pool, which it closes. primary asks the primary how far it has come. The replica is
// asked for nothing before Follow has found it.
func New(pool *pgxpool.Pool, primary func(context.Context) (Position, error), opts Options) *Replica {
	return &Replica{pool: pool, opts: opts, why: Gone, asker: asker{ask: primary, within: opts.Patience}}
}

// Close waits for the statements under way and closes all connections.
func (r *Replica) Close() { r.pool.Close() }

// State is what is known of a replica, and what was read where since the start.
type State struct {
	Why       Reason // it is not asked; empty while it is
	Lag       time.Duration
	Reads     int64            // on the replica
	Elsewhere map[Reason]int64 // on the primary, though they may be on the replica; all reasons
}

// State is the present state. It asks nobody.
func (r *Replica) State() State {
	r.mu.Lock()
	s := State{Why: r.why, Lag: r.lag, Elsewhere: map[Reason]int64{}}
	r.mu.Unlock()
	s.Reads = r.reads.Load()
	for i, reason := range Reasons {
		s.Elsewhere[reason] = r.elsewhere[i].Load()
	}
	return s
}

func (r *Replica) count(why Reason) {
	for i, reason := range Reasons {
		if reason == why {
			r.elsewhere[i].Add(1)
		}
	}
}

// Follow looks after the replica until ctx ends: how far behind it is, whether it answers. told hears of each change of State.Why.
func (r *Replica) Follow(ctx context.Context, told func(State)) {
	ticker := time.NewTicker(r.opts.Every)
	defer ticker.Stop()
	for {
		before := r.State().Why
		r.look(ctx)
		if now := r.State(); now.Why != before && ctx.Err() == nil {
			told(now)
		}
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		}
	}
}

// lookTime bounds the question that finds out whether a replica is there.
const lookTime = time.Second

// look asks the primary first, so that a replica that has all of it is not behind.
func (r *Replica) look(ctx context.Context) {
	ctx, cancel := context.WithTimeout(ctx, lookTime)
	defer cancel()
	primary, unasked := r.asker.position(ctx)
	when := time.Now()
	at, err := ofStandby(ctx, r.pool)
	r.mu.Lock()
	defer r.mu.Unlock()
	if unasked == nil {
		r.track.note(seen{primary, when})
	}
	switch {
	case err != nil && r.full():
		return // nothing is known of it: all who read there are slow
	case err != nil || at == notStandby:
		r.gone()
		return
	case r.why == Gone:
		r.reached = 0 // it may be another one
	}
	r.reached = max(r.reached, at)
	r.why, r.lag = "", r.track.lag(at, time.Now())
	if r.lag > r.opts.MaxLag {
		r.why = Lagging
	}
}

// full reports that all connections are in use.
func (r *Replica) full() bool {
	stat := r.pool.Stat()
	return stat.AcquiredConns() == stat.MaxConns()
}

// gone leaves the replica alone until Follow finds it again. r.mu is held.
func (r *Replica) gone() {
	if r.why != Gone {
		r.why = Gone
		r.pool.Reset() // the connections lead nowhere
	}
}

func (r *Replica) foundGone() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.gone()
}

// hopeless is why a read need not be tried that wants all up to a position; empty where it can be.
func (r *Replica) hopeless(need Position) Reason {
	r.mu.Lock()
	defer r.mu.Unlock()
	switch {
	case r.why != "":
		return r.why
	case need > r.reached && time.Now().Before(r.rests):
		return Behind
	}
	return ""
}

// came notes how far the replica is, and with late that it was waited for in vain.
func (r *Replica) came(at Position, late bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.reached = max(r.reached, at)
	if late {
		r.rests = time.Now().Add(r.opts.Every)
	}
}
