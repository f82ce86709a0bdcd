package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking/graph"
)

// soonAlone reports whether a pairing comes above the wanted level soon even without any
// other line beside it.
func (c *leaveOutSolver) soonAlone(p Pair) bool {
	var out graph.Set
	for i := range c.Lines {
		if i != p.First && i != p.Second {
			out.Add(i)
		}
	}
	return c.soonWithout(p, out)
}

// soonWithout reports whether a pairing comes above the wanted level soon when some lines
// are left out.
func (c *leaveOutSolver) soonWithout(p Pair, out graph.Set) bool {
	return c.future != nil && c.future.without(out).soon(&p)
}

// aheadReason is the finding about a pairing that is soon in conflict.
func (c *leaveOutSolver) aheadReason(p Pair) (s conflict.Statement, ok bool) {
	for i := range c.Findings {
		f := &c.Findings[i]
		if IsAhead(f.Code()) && f.Lines[0] == p.First && f.Lines[len(f.Lines)-1] == p.Second {
			return f.Statement, true
		}
	}
	return s, false
}
