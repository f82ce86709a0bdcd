package stocking

import (
	"commensal/internal/conflict"
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
