package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking/graph"
)

// reasons gives for each line left out what it would clash with among those that stay.
func (c *leaveOutSolver) reasons(set []int) []LeftOut {
	out := graph.SetOf(set...)
	left := make([]LeftOut, len(set))
	for i, line := range set {
		left[i] = c.reason(line, out)
	}
	return left
}

// reason is a stop of the line's own, else its worst clash: with its own kind or with a
// line that stays, else that the others need its room.
func (c *leaveOutSolver) reason(line int, out graph.Set) LeftOut {
	for i := range c.Findings {
		f := &c.Findings[i]
		if f.Severity == Stop && f.Code() != NoSharedWater && !IsAhead(f.Code()) && slices.Contains(f.Lines, line) {
			return LeftOut{line, -1, f.Statement}
		}
	}
	if p := c.WorstPair(func(p *Pair) bool { return c.blames(p, line, out) }); p != nil {
		return LeftOut{line, p.First + p.Second - line, c.pairReason(*p)}
	}
	if c.heavy {
		return LeftOut{line, -1, c.stopReason(LoadTooHeavy)}
	}
	return LeftOut{line, -1, conflict.Statement{Code: ReasonMakesRoom, Actor: c.Lines[line].Species}}
}

// blames reports whether a pairing speaks against the line beside those that stay.
func (c *leaveOutSolver) blames(p *Pair, line int, out graph.Set) bool {
	if p.First != line && p.Second != line {
		return false
	}
	other := p.First + p.Second - line
	if other != line && out.Has(other) {
		return false
	}
	return c.Above(p.Level) || c.future.soon(p) || (len(c.apart) > 0 && WatersApart(c.Lines[p.First].Species, c.Lines[p.Second].Species))
}

// pairReason is the summary of a pairing above the wanted level, else that the two have
// no water in common.
func (c *leaveOutSolver) pairReason(p Pair) conflict.Statement {
	a, b := &c.Lines[p.First], &c.Lines[p.Second]
	if c.Above(p.Level) {
		return c.PairSummary(p)
	}
	if s, ok := c.aheadReason(p); ok {
		return s
	}
	s := conflict.Statement{Code: ReasonWaterApart, Actor: a.Species, Other: b.Species}
	for w := range species.Parameter(species.NumParameters) {
		wa, wb := &a.Species.Water[w], &b.Species.Water[w]
		if _, ok := wa.Tolerated.Intersect(wb.Tolerated); wa.Known() && wb.Known() && !ok {
			s.Words = []conflict.WordCode{ParameterWord[w]}
			break
		}
	}
	return s
}

// stopReason is the statement of a finding that is a stop.
func (c *leaveOutSolver) stopReason(code Code) (s conflict.Statement) {
	for i := range c.Findings {
		if c.Findings[i].Code() == code {
			return c.Findings[i].Statement
		}
	}
	return s
}

// checkSplitKinds judges what stays again where a set leaves out part of the lines of a
// species: a shoal that loses a line may nip more. A set that fails is dropped; when
// all fail, the first takes those species out altogether and is no longer proved.
func (c *leaveOutSolver) checkSplitKinds() {
	var good []LeaveOutSet
	var failed *LeaveOutSet
	for i := range c.out.Sets {
		set := &c.out.Sets[i]
		if c.Budget.Ended() { // what was not looked at again is not promised
			c.out.Sets, c.out.Optimal, c.out.Complete = good, false, false
			return
		}
		if !c.splits(set) || c.clears(set) {
			good = append(good, *set)
		} else if failed == nil {
			failed = set
		}
	}
	if failed == nil {
		return
	}
	c.out.Complete = false
	if c.out.Sets = good; good == nil {
		c.dropKinds(failed)
	}
}

// dropKinds leaves out every line of a species that a failed set splits.
func (c *leaveOutSolver) dropKinds(failed *LeaveOutSet) {
	var lines []int
	gone := make(map[int]bool)
	for _, l := range failed.Lines {
		gone[c.Lines[l.Line].Kind] = true
	}
	cost := 0.0
	for i := range c.Lines {
		if gone[c.Lines[i].Kind] && !c.pinned.Has(i) {
			lines, cost = append(lines, i), cost+c.weight[i]
		}
	}
	c.out.Optimal = false
	set := LeaveOutSet{c.reasons(lines)}
	if c.clears(&set) {
		c.out.Sets, c.out.Cost = []LeaveOutSet{set}, cost
	}
}

// splits reports whether a set leaves out some lines of a species and keeps others.
func (c *leaveOutSolver) splits(set *LeaveOutSet) bool {
	gone := make(map[int]int)
	for _, l := range set.Lines {
		gone[c.Lines[l.Line].Kind]++
	}
	for i := range c.Lines {
		if n := gone[c.Lines[i].Kind]; n > 0 && !slices.ContainsFunc(set.Lines, func(l LeftOut) bool { return l.Line == i }) {
			return true
		}
	}
	return false
}

// clears judges what stays and reports whether it holds no conflict but the pinned ones.
func (c *leaveOutSolver) clears(set *LeaveOutSet) bool {
	s := Stock{Tank: c.Tank, Wanted: c.Wanted, Budget: c.Budget}
	for i := range c.Lines {
		if !slices.ContainsFunc(set.Lines, func(l LeftOut) bool { return l.Line == i }) {
			s.Lines = append(s.Lines, c.Lines[i].Line)
		}
	}
	if len(s.Lines) == 0 {
		return true
	}
	return len(c.out.Pinned) > 0 || NewAssessment(c.Book, &s).Judge() != Hold
}
