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
}

// learning is how much of the pace the latest work decides.
const learning = 0.05

func (p *pace) learn(took time.Duration, weight int64) {
	x := float64(took) / float64(weight)
	old := math.Float64frombits(p.perUnit.Load())
	if old > 0 {
		x = old + learning*(x-old)
	}
	p.perUnit.Store(math.Float64bits(x)) // that one of two at once is lost does no harm
}

// of is how long work of a weight is likely to take.
func (p *pace) of(weight int64) time.Duration {
	return time.Duration(float64(weight) * math.Float64frombits(p.perUnit.Load()))
}
