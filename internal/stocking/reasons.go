package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking/graph"
)

// HoldReason is why a judged group is a hold, as it concerns some of its lines (none for
// any): the worst pairing above the wanted level, else a stop, else crowding. With is a
// position in the group, OwnKind or TheTank.
func (j *Assessment) HoldReason(mine graph.Set) (with int, reason conflict.Statement) {
	if p := j.WorstPair(func(p *Pair) bool { return concerns(mine, p.First, p.Second) && j.Above(p.Level) }); p != nil {
		return j.against(mine, p.First, p.Second), j.PairSummary(*p)
	}
	f := j.chiefFinding(mine)
	if f == nil {
		return TheTank, conflict.Statement{Code: ReasonMakesRoom, Actor: j.Lines[max(mine.Next(0), 0)].Species}
	}
	if pairwise := f.Code() == NoSharedWater || IsAhead(f.Code()); pairwise {
		return j.against(mine, f.Lines[0], f.Lines[len(f.Lines)-1]), f.Statement
	}
	return TheTank, f.Statement
}

// ChiefRemark is what is most to be said of some lines in a tank that is not on hold: their
// worst pairing that is not low, else advice about them, else that nothing speaks against
// them.
func (j *Assessment) ChiefRemark(mine graph.Set) (with int, s conflict.Statement) {
	if p := j.WorstPair(func(p *Pair) bool { return concerns(mine, p.First, p.Second) && j.DecisionFor(p.Level) == Advise }); p != nil {
		return j.against(mine, p.First, p.Second), j.PairSummary(*p)
	}
	for i := range j.Findings {
		if f := &j.Findings[i]; f.Severity == Advice && len(f.Lines) > 0 && concerns(mine, f.Lines...) {
			return TheTank, f.Statement
		}
	}
	return TheTank, conflict.Statement{Code: SummaryFineSingle, Actor: j.Lines[max(mine.Next(0), 0)].Species}
}

// concerns reports whether any of some lines is among mine, or mine is empty.
func concerns(mine graph.Set, lines ...int) bool {
	return mine.Empty() || mine.Meets(graph.SetOf(lines...))
}

// against is who a pairing of a group stands between, as seen from some of its lines.
func (j *Assessment) against(mine graph.Set, first, second int) int {
	switch {
	case mine.Empty() || j.Lines[first].Kind == j.Lines[second].Kind:
		return OwnKind
	case mine.Has(first):
		return second
	}
	return first
}

// chiefFinding is the first stop that concerns some lines, else any stop, else what says
// that the tank is crowded; nil where there is none.
func (j *Assessment) chiefFinding(mine graph.Set) (chief *Finding) {
	for i := range j.Findings {
		f := &j.Findings[i]
		if f.Severity != Stop {
			break
		}
		if chief == nil {
			chief = f
		}
		if concerns(mine, f.Lines...) {
			return f
		}
	}
	for i := 0; chief == nil && i < len(j.Findings); i++ {
		switch f := &j.Findings[i]; f.Code() {
		case GroundCrowded, ZoneCrowded, TankCrowded:
			chief = f
		}
	}
	return chief
}

// PairSummary is the summary of a pairing, also where the list was judged without words.
func (j *Assessment) PairSummary(p Pair) conflict.Statement {
	if j.briefs != nil {
		return j.briefs[p.at].Summary
	}
	c := j.Conditions(p.First, p.Second)
	_, summary := j.Brief(j.Lines[p.First].Profile, j.Lines[p.Second].Profile, &c)
	return summary
}

// Who or what stands against a line, where it is not another line.
const (
	OwnKind = -1 // its own kind
	TheTank = -2 // the tank, the water or the list as a whole
)

// Limit is a reason why something does not fit.
type Limit struct {
	Decision  Decision // what the reason alone leads to
	With      int      // position in the list's lines, OwnKind or TheTank
	Statement conflict.Statement
}

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
