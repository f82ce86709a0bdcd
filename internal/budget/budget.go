// Package budget counts work, so that a search ends where it may not take more, and at once
// where nobody waits for it. A budget is a plain value: the pure packages take one, and know
// neither clocks nor contexts.
//
// The unit of work is one pairing scored without words, about a microsecond of one processor. Whoever
// does something dearer or cheaper says how many units that is.
package budget

import "sync/atomic"

// Budget is how much work may still be done. Work is counted by one goroutine or many; Stop
// may come from any. The nil budget has no end and counts nothing.
type Budget struct {
	limit   int64
	spent   atomic.Int64
	stopped atomic.Bool
}

// New makes a budget of so many units. Zero or less is no limit: it can still be stopped.
func New(limit int64) *Budget { return &Budget{limit: limit} }

// Spend counts work and reports whether more may be done.
func (b *Budget) Spend(units int64) (more bool) {
	if b == nil {
		return true
	}
	spent := b.spent.Add(units)
	return !b.stopped.Load() && (b.limit <= 0 || spent < b.limit)
}

// Ended reports that no more may be done: the budget is spent, or was stopped.
func (b *Budget) Ended() bool { return b != nil && !b.Spend(0) }

// EndedAt reports that a share of the limit, 0 to 1, is spent, or that the budget was stopped:
// for a search that leaves the rest to writing out what it found.
func (b *Budget) EndedAt(share float64) bool {
	if b == nil {
		return false
	}
	return b.stopped.Load() || b.limit > 0 && float64(b.spent.Load()) >= share*float64(b.limit)
}

// Stop ends the work: nobody waits for its result any more.
func (b *Budget) Stop() {
	if b != nil {
		b.stopped.Store(true)
	}
}

// Stopped reports whether the work was stopped, in which case its result is thrown away, and
// anything will do for it.
func (b *Budget) Stopped() bool { return b != nil && b.stopped.Load() }

// Spent is the work done so far, in units. It may pass the limit a little.
func (b *Budget) Spent() int64 {
	if b == nil {
		return 0
	}
	return b.spent.Load()
}
