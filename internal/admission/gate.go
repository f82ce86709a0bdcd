package admission

import (
	"container/list"
	"context"
	"errors"
	"sync"
	"time"
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
	// Few is how many pieces may wait however long they take, up to Waiting. Zero means twice the capacity and one more.
	Few int
	// Rush is for how long a queue of more than a few may have work; more than that is overload. Zero means 40 ms.
	Rush time.Duration
	// Calm is for how long nobody must have been refused until overload is over. Zero means 1 s.
	Calm time.Duration
	// Stretch is how many times the capacity may wait under overload. Zero means 2: what is served
	// then takes at most about three times as long as in quiet.
	Stretch float64
}

// patientTurn is that every so many places go to patient work first.
const patientTurn = 4

func (o Options) withDefaults() Options {
	o.Capacity = max(o.Capacity, 1)
	if o.Few <= 0 {
		o.Few = int(2*o.Capacity + 1)
	}
	if o.Rush <= 0 {
		o.Rush = 40 * time.Millisecond
	}
	if o.Calm <= 0 {
		o.Calm = time.Second
	}
	if o.Stretch <= 0 {
		o.Stretch = 2
	}
	return o
}

// manner is how work waits.
type manner int

const (
	fresh     manner = iota // once, and no longer than helps
	returning               // it was let in before
	patient                 // its client waits for the answer before it sends more
	manners
)

// Gate lets in work by its weight. It is safe for concurrent use.
type Gate struct {
	o     Options
	start time.Time
	pace  pace

	mu       sync.Mutex
	free     int64
	queues   [manners]*list.List // of *waiter, the oldest first
	ahead    [manners]int64      // weight that waits
	places   int64               // given to those who waited, ever
	refused  int64               // pieces, ever
	overload bool
	strained time.Duration // when more came than can be done, the last time, from start
}

// waiter is a piece of work that waits. It is told once whether it may begin.
type waiter struct {
	weight int64
	manner manner
	since  time.Duration // from the gate's start
	turn   chan bool
	place  *list.Element // nil once it was told
}

// New makes a gate.
func New(o Options) *Gate {
	o = o.withDefaults()
	g := &Gate{o: o, start: time.Now(), free: o.Capacity}
	for i := range g.queues {
		g.queues[i] = list.New()
	}
	return g
}

// Enter waits until there is room for work of a weight, and returns its pass. A weight
// beyond the capacity takes all of it. The error is [ErrRefused] or that of ctx.
func (g *Gate) Enter(ctx context.Context, weight int64) (*Pass, error) {
	return g.enter(ctx, weight, fresh)
}

// EnterPatiently is Enter for work whose client waits for the answer before it sends more.
func (g *Gate) EnterPatiently(ctx context.Context, weight int64) (*Pass, error) {
	return g.enter(ctx, weight, patient)
}

// Return is Enter for work that was let in before and gave its pass back. The error is that of ctx.
func (g *Gate) Return(ctx context.Context, weight int64) (*Pass, error) {
	return g.enter(ctx, weight, returning)
}

func (g *Gate) enter(ctx context.Context, weight int64, m manner) (*Pass, error) {
	weight = min(max(weight, 1), g.o.Capacity)
	g.mu.Lock()
	if g.waiting() == 0 && g.free >= weight {
		g.free -= weight
		g.mu.Unlock()
		return g.pass(weight, 0), nil
	}
	w, patience := g.join(weight, m)
	g.mu.Unlock()
	if w == nil {
		return nil, ErrRefused
	}
	if err := g.wait(ctx, w, patience); err != nil {
		return nil, err
	}
	return g.pass(weight, g.now()-w.since), nil
}

func (g *Gate) pass(weight int64, waited time.Duration) *Pass {
	return &Pass{gate: g, weight: weight, begun: time.Now(), Waited: waited}
}

// join puts work into the queue, and says how long it waits there; nil where it is refused. g.mu is held.
func (g *Gate) join(weight int64, m manner) (*waiter, time.Duration) {
	now := g.now()
	full := m != returning && (g.waiting() >= g.o.Waiting || g.o.Patience <= 0)
	if m == fresh && (g.overloaded(now) || g.floods(weight, now)) {
		g.dropOld(now)
		full = full || g.pressing() > 0 && g.pressing()+weight > g.most()
	}
	if full {
		g.noteRefusal(now)
		return nil, 0
	}
	w := &waiter{weight: weight, manner: m, since: now, turn: make(chan bool, 1)}
	w.place = g.queues[m].PushBack(w)
	g.ahead[m] += weight
	return w, g.o.Patience
}

// floods reports whether with one more piece of work it is more than a rush, and notes that. g.mu is held.
func (g *Gate) floods(weight int64, now time.Duration) bool {
	n := g.waiting() + 1
	if n > g.o.Waiting || n > g.o.Few && g.pace.of(g.pressing()+g.ahead[patient]+weight)/time.Duration(g.o.Capacity) > g.o.Rush {
		g.overload, g.strained = true, now
		return true
	}
	return false
}

// overloaded reports whether it is still so that more comes in than can be done. g.mu is held.
func (g *Gate) overloaded(now time.Duration) bool {
	if g.overload && now-g.strained >= g.o.Calm {
		g.overload = false
	}
	return g.overload
}

// most is the weight that may wait under overload; one piece may in any case.
func (g *Gate) most() int64 { return int64(g.o.Stretch * float64(g.o.Capacity)) }

// pressing is the weight that waits and is not patient. g.mu is held.
func (g *Gate) pressing() int64 { return g.ahead[fresh] + g.ahead[returning] }

// dropOld refuses who has waited longest, until no more wait than may under overload. g.mu is held.
func (g *Gate) dropOld(now time.Duration) {
	for g.pressing() > g.most() && g.queues[fresh].Len() > 1 {
		g.refuse(g.queues[fresh].Front().Value.(*waiter), now)
	}
}

// wait waits for a piece of work's turn. A client that has gone, and one that was refused, has no place any more.
func (g *Gate) wait(ctx context.Context, w *waiter, patience time.Duration) error {
	var late <-chan time.Time
	if w.manner != returning {
		timer := time.NewTimer(patience)
		defer timer.Stop()
		late = timer.C
	}
	select {
	case begins := <-w.turn:
		return refusal(begins)
	case <-late:
	case <-ctx.Done():
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	switch {
	case w.place == nil && ctx.Err() == nil:
		return refusal(<-w.turn)
	case w.place == nil:
		if <-w.turn {
			g.give(w.weight)
		}
		return ctx.Err()
	case ctx.Err() != nil:
		g.remove(w)
		g.serve() // it may have been the heavy one that all waited for
		return ctx.Err()
	}
	g.refuse(w, g.now())
	g.serve()
	return refusal(<-w.turn)
}

func refusal(begins bool) error {
	if !begins {
		return ErrRefused
	}
	return nil
}

// give takes weight back and lets in whoever can begin. g.mu is held.
func (g *Gate) give(weight int64) {
	g.free += weight
	g.serve()
}

// serve lets in as much as there is room for. g.mu is held.
func (g *Gate) serve() {
	for {
		w := g.next()
		if w == nil || w.weight > g.free {
			return
		}
		g.free -= w.weight
		g.places++
		g.remove(w)
		w.turn <- true
	}
}

// next is whose turn it is; nil where nobody waits. g.mu is held.
func (g *Gate) next() *waiter {
	order := [...]manner{returning, fresh, patient}
	if g.places%patientTurn == 0 {
		order = [...]manner{returning, patient, fresh}
	}
	for _, m := range order {
		if e := g.queues[m].Front(); e != nil {
			return e.Value.(*waiter)
		}
	}
	return nil
}

// refuse sends a waiting piece of work away. g.mu is held.
func (g *Gate) refuse(w *waiter, now time.Duration) {
	g.remove(w)
	g.noteRefusal(now)
	w.turn <- false
}

func (g *Gate) noteRefusal(now time.Duration) {
	g.refused++
	g.strained = now
}

// remove takes a piece of work out of the queue. g.mu is held.
func (g *Gate) remove(w *waiter) {
	g.queues[w.manner].Remove(w.place)
	w.place = nil
	g.ahead[w.manner] -= w.weight
}

// waiting is how many pieces wait. g.mu is held.
func (g *Gate) waiting() int {
	n := 0
	for _, q := range g.queues {
		n += q.Len()
	}
	return n
}

func (g *Gate) now() time.Duration { return time.Since(g.start) }

// State is a gate at one moment.
type State struct {
	Capacity, Running int64 // weight
	Waiting, Refused  int64 // pieces of work; Refused since the beginning
}

// State tells how busy the gate is.
func (g *Gate) State() State {
	g.mu.Lock()
	defer g.mu.Unlock()
	return State{g.o.Capacity, g.o.Capacity - g.free, int64(g.waiting()), g.refused}
}
