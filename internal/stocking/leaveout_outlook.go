package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking/graph"
)

// soonAlone reports whether a pairing comes above the wanted level soon even without any
// other line beside it.
func (c *cutter) soonAlone(p pair) bool {
	var out graph.Set
	for i := range c.lines {
		if i != p.first && i != p.second {
			out.Add(i)
		}
	}
	return c.soonWithout(p, out)
}

// soonWithout reports whether a pairing comes above the wanted level soon when some lines
// are left out.
func (c *cutter) soonWithout(p pair, out graph.Set) bool {
	return c.future != nil && c.future.without(out).soon(&p)
}

// aheadReason is the finding about a pairing that is soon in conflict.
func (c *cutter) aheadReason(p pair) (s conflict.Statement, ok bool) {
	for i := range c.findings {
		f := &c.findings[i]
		if isAhead(f.Code()) && f.Lines[0] == p.first && f.Lines[len(f.Lines)-1] == p.second {
			return f.Statement, true
		}
	}
	return s, false
}
