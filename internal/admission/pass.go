package admission

import (
	"math"
	"sync/atomic"
	"time"
)

// Pass is the right to work. It is given back once, by whoever is done first.
type Pass struct {
	gate   *Gate
	weight int64
	begun  time.Time
	left   atomic.Bool
	// Waited is how long the work waited for it.
	Waited time.Duration
}

// Leave gives the pass back. Giving it back again, and giving back none, does nothing.
func (p *Pass) Leave() {
	if p == nil || !p.left.CompareAndSwap(false, true) {
		return
	}
	p.gate.pace.learn(time.Since(p.begun), p.weight)
	p.gate.mu.Lock()
	defer p.gate.mu.Unlock()
	p.gate.give(p.weight)
}

// pace is how long a unit of weight takes, as learnt from the work that was done: nobody
// has to state how fast the machine is.
type pace struct {
	perUnit atomic.Uint64 // nanoseconds, as the bits of a float64; 0 before the first
	learnt  atomic.Int64  // pieces of work
}

const (
	// learning is how much of the pace the latest work decides.
	learning = 0.05
	// cold is how many pieces of work are the first: a process takes several times as long for them, and whoever came with the second
	// would be taken for overload. No pace is known until they are done, and then it is that of the quickest of them.
	cold = 4
)

func (p *pace) learn(took time.Duration, weight int64) {
	x := float64(took) / float64(weight)
	old := math.Float64frombits(p.perUnit.Load())
	switch {
	case p.learnt.Add(1) > cold && old > 0:
		x = old + learning*(x-old)
	case old > 0:
		x = min(x, old)
	}
	p.perUnit.Store(math.Float64bits(x)) // that one of two at once is lost does no harm
}

// of is how long work of a weight is likely to take; 0 while that is not known.
func (p *pace) of(weight int64) time.Duration {
	if p.learnt.Load() < cold {
		return 0
	}
	return time.Duration(float64(weight) * math.Float64frombits(p.perUnit.Load()))
}
