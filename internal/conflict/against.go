package conflict

import (
	"runtime"
	"slices"
	"sync"

	"commensal/internal/species"
)

// One line of fish against every species of the catalogue: what rankings and additions ask. The
// species stand behind one another in memory as plain numbers with their powers and logarithms
// worked out, and are read from the first to the last; the formulas are those of every pairing.

// apiece is how many species one processor takes at a time; fewer are not worth parting.
const apiece = 2048

// Against is the score of a line of fish, first, with every species of the book as a customary
// group of adults, second, in order of the snapshot: what [Model.Value] is of each under
// [ConditionsFor] the tank, to the bit. Tank may be nil. The scores are written over out, which
// is grown where it is too short; all processors share the work of a long catalogue.
func (b *Book) Against(p *Profile, tank *Tank, out []float64) []float64 {
	n := len(b.kinds)
	out = slices.Grow(out[:0], n)[:n]
	if n < 2*apiece {
		b.against(p, tank, out, 0)
		return out
	}
	b.inParallel(p, tank, out)
	return out
}

func (b *Book) inParallel(p *Profile, tank *Tank, out []float64) {
	parts := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for from := range parts {
				b.against(p, tank, out[from:min(from+apiece, len(out))], from)
			}
		})
	}
	for from := 0; from < len(out); from += apiece {
		parts <- from
	}
	close(parts)
	wait.Wait()
}

// against fills in the scores with the species from one on.
func (b *Book) against(p *Profile, tank *Tank, out []float64, from int) {
	c := ConditionsFor(p, p, tank)
	for i := range out {
		q := &b.kinds[from+i]
		if c.ReferenceTank {
			c.LengthCM, c.WidthCM = max(p.tankLength, q.tankLength), max(p.tankWidth, q.tankWidth)
		}
		out[i] = b.Model.valueOf(&p.fish, &q.fish, &c, oneGroup(p, q))
	}
}

// newKinds makes every species of a snapshot ready as a customary group of adults, one behind the
// other.
func newKinds(m *Model, s *species.Snapshot) []Profile {
	kinds := make([]Profile, s.Len())
	for i := range kinds {
		kinds[i] = *m.Profile(s.At(i), Individual{})
	}
	return kinds
}
