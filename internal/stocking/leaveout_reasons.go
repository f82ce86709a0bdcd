package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking/graph"
)

// reasons gives for each line left out what it would clash with among those that stay.
func (c *cutter) reasons(set []int) []LeftOut {
	out := graph.SetOf(set...)
	left := make([]LeftOut, len(set))
	for i, line := range set {
		left[i] = c.reason(line, out)
	}
	return left
}

// reason is a stop of the line's own, else its worst clash: with its own kind or with a
// line that stays, else that the others need its room.
func (c *cutter) reason(line int, out graph.Set) LeftOut {
	for i := range c.findings {
		f := &c.findings[i]
		if f.Severity == Stop && f.Code() != NoSharedWater && !isAhead(f.Code()) && slices.Contains(f.Lines, line) {
			return LeftOut{line, -1, f.Statement}
		}
	}
	if p := c.worstPair(func(p *pair) bool { return c.blames(p, line, out) }); p != nil {
		return LeftOut{line, p.first + p.second - line, c.pairReason(*p)}
	}
	if c.heavy {
		return LeftOut{line, -1, c.stopReason(LoadTooHeavy)}
	}
	return LeftOut{line, -1, conflict.Statement{Code: ReasonMakesRoom, Actor: c.lines[line].species}}
}

// blames reports whether a pairing speaks against the line beside those that stay.
func (c *cutter) blames(p *pair, line int, out graph.Set) bool {
	if p.first != line && p.second != line {
		return false
	}
	other := p.first + p.second - line
	if other != line && out.Has(other) {
		return false
	}
	return c.above(p.level) || c.future.soon(p) || (len(c.apart) > 0 && disjoint(c.lines[p.first].species, c.lines[p.second].species))
}

// pairReason is the summary of a pairing above the wanted level, else that the two have
// no water in common.
func (c *cutter) pairReason(p pair) conflict.Statement {
	a, b := &c.lines[p.first], &c.lines[p.second]
	if c.above(p.level) {
		return c.summaryOf(p)
	}
	if s, ok := c.aheadReason(p); ok {
		return s
	}
	s := conflict.Statement{Code: ReasonWaterApart, Actor: a.species, Other: b.species}
	for w := range species.Parameter(species.NumParameters) {
		wa, wb := &a.species.Water[w], &b.species.Water[w]
		if _, ok := wa.Tolerated.Intersect(wb.Tolerated); wa.Known() && wb.Known() && !ok {
			s.Words = []conflict.WordCode{parameterWord[w]}
			break
		}
	}
	return s
}

// summaryOf is the summary of a pairing, also where the list was judged without words.
func (j *judging) summaryOf(p pair) conflict.Statement {
	if j.briefs != nil {
		return j.briefs[p.at].Summary
	}
	c := j.conditions(p.first, p.second)
	_, summary := j.book.Model.Brief(j.lines[p.first].profile, j.lines[p.second].profile, &c)
	return summary
}

// stopReason is the statement of a finding that is a stop.
func (c *cutter) stopReason(code Code) (s conflict.Statement) {
	for i := range c.findings {
		if c.findings[i].Code() == code {
			return c.findings[i].Statement
		}
	}
	return s
}

// checkSplitKinds judges what stays again where a set leaves out part of the lines of a
// species: a shoal that loses a line may nip more. A set that fails is dropped; when
// all fail, the first takes those species out altogether and is no longer proved.
func (c *cutter) checkSplitKinds() {
	var good []LeaveOutSet
	var failed *LeaveOutSet
	for i := range c.out.Sets {
		set := &c.out.Sets[i]
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
func (c *cutter) dropKinds(failed *LeaveOutSet) {
	var lines []int
	gone := make(map[int]bool)
	for _, l := range failed.Lines {
		gone[c.lines[l.Line].kind] = true
	}
	cost := 0.0
	for i := range c.lines {
		if gone[c.lines[i].kind] && !c.pinned.Has(i) {
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
func (c *cutter) splits(set *LeaveOutSet) bool {
	gone := make(map[int]int)
	for _, l := range set.Lines {
		gone[c.lines[l.Line].kind]++
	}
	for i := range c.lines {
		if n := gone[c.lines[i].kind]; n > 0 && !slices.ContainsFunc(set.Lines, func(l LeftOut) bool { return l.Line == i }) {
			return true
		}
	}
	return false
}

// clears judges what stays and reports whether it holds no conflict but the pinned ones.
func (c *cutter) clears(set *LeaveOutSet) bool {
	s := Stock{Tank: c.tank, Wanted: c.wanted}
	for i := range c.lines {
		if !slices.ContainsFunc(set.Lines, func(l LeftOut) bool { return l.Line == i }) {
			s.Lines = append(s.Lines, c.lines[i].Line)
		}
	}
	if len(s.Lines) == 0 {
		return true
	}
	return len(c.out.Pinned) > 0 || prepare(c.book, &s).judge() != Hold
}
