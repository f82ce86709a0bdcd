package stocking

import (
	"commensal/internal/conflict"
)

// coarse are the months at which a pairing is looked at first: dense at the start, where
// young fish change fast, with the end of [HoldWithin] among them and the adult fish
// last. Where a pairing rises to a level between two of them, bisection finds the
// month. The months are the same for every list, so a further line, which never
// lowers a score of any month, never makes an outlook better.
var coarse = [...]int{0, 1, 3, 6, HoldWithin, 24, 48, MaxMonths, Beyond}

// rise is a pairing that reaches a level it does not have before.
type rise struct {
	pair  *Pair
	level conflict.Level
	month int // at the usual pace
	// decision is what it leads to; proceed where today's check says as much already.
	decision Decision
}

// risesOf finds the levels above a floor that a pairing reaches at the usual pace. A level that it has today, at the age the fish have today, is dated
// today if the check, which takes those without a length as adult, does not see it.
func (f *future) risesOf(p *Pair, floor conflict.Level) (out []rise) {
	reached := f.levelAt(p, 0, usual)
	if reached > f.today(p) {
		out = append(out, f.riseOf(p, reached, 0))
	}
	for i := 1; i < len(coarse); i++ {
		if reached = max(reached, floor); reached == conflict.Severe {
			break
		}
		if f.settled(p, i, reached) {
			break
		}
		for now := f.levelAt(p, coarse[i], usual); reached < now; {
			month, level := f.between(p, i, reached+1, usual)
			out = append(out, f.riseOf(p, level, month))
			reached = level
		}
	}
	return out
}

// settled reports whether nothing more can come: both sides are adult by the last month
// looked at, and the ground that the others defend, which only grows, does not raise
// the pairing either.
func (f *future) settled(p *Pair, i int, reached conflict.Level) bool {
	return f.grown(p, coarse[i-1], usual) && f.levelAt(p, Beyond, usual) <= reached
}

// between is the month in which a pairing reaches a level, known to lie after coarse
// month i−1 and not after i, and the level it has then. Where the score does not rise
// all the way, it is one of the months in which it passes the level.
func (f *future) between(p *Pair, i int, level conflict.Level, pc pace) (int, conflict.Level) {
	low, high := coarse[i-1], coarse[i]
	at := max(level, f.levelAt(p, high, pc))
	for high-low > 1 {
		mid := (low + high) / 2
		if l := f.levelAt(p, mid, pc); l >= level {
			high, at = mid, l
		} else {
			low = mid
		}
	}
	return high, at
}

// firstAt is the month in which a pairing has at least a level for the first time, not
// looked for after month last; [Beyond] when it has not.
func (f *future) firstAt(p *Pair, level conflict.Level, last int, pc pace) int {
	if f.levelAt(p, 0, pc) >= level {
		return 0
	}
	for i := 1; i < len(coarse) && coarse[i] <= last; i++ {
		if f.levelAt(p, coarse[i], pc) >= level {
			month, _ := f.between(p, i, level, pc)
			return month
		}
	}
	return Beyond
}

func (f *future) riseOf(p *Pair, level conflict.Level, month int) rise {
	return rise{pair: p, level: level, month: month, decision: f.decisionAhead(level, f.today(p), month)}
}

// dated is the month of a rise with those of the fast and the slow pace.
func (f *future) dated(r *rise) Months {
	early, late := f.firstAt(r.pair, r.level, Beyond, fast), f.firstAt(r.pair, r.level, Beyond, slow)
	return Months{min(early, r.month, late), r.month, max(early, r.month, late)}
}

// decisionAhead is what a level that a pairing reaches leads to, given its level in
// today's check: nothing where that is as high; hold where it comes above the wanted
// level within [HoldWithin] months, advice where later, or where it comes to be moderate.
func (f *future) decisionAhead(level, today conflict.Level, month int) Decision {
	switch {
	case level <= today || f.DecisionFor(level) == Proceed:
		return Proceed
	case f.Above(level) && month <= HoldWithin:
		return Hold
	}
	return Advise
}

// soon reports whether a pairing comes above the wanted level within [HoldWithin] months
// when some lines are left out.
func (f *future) soon(p *Pair) bool {
	return f != nil && f.changes(p) && f.firstAt(p, f.Wanted+1, HoldWithin, usual) <= HoldWithin
}

// The findings about what is to come, and the words of an outlook.
const (
	LaterConflict Code = "later_conflict"          // between two kinds, in some months
	LaterOwnKind  Code = "later_own_kind_conflict" // within one kind, in some months
	GrownConflict Code = "grown_conflict"          // the same, once grown, without a month
	GrownOwnKind  Code = "grown_own_kind_conflict"
	YoungConflict Code = "young_conflict" // today, because some are young
	YoungOwnKind  Code = "young_own_kind_conflict"

	WhenNow     Code = "when.now"
	WhenAbout   Code = "when.about"
	WhenBetween Code = "when.between"
	WhenFrom    Code = "when.from"
	WhenGrown   Code = "when.grown"

	OutlookLevel      Code = "outlook.level"
	OutlookTips       Code = "outlook.tips"
	OutlookTipsOwn    Code = "outlook.tips_own_kind"
	OutlookTankLength Code = "outlook.tank_length"
	OutlookFootprint  Code = "outlook.footprint"
	OutlookGround     Code = "outlook.ground"
)

// IsAhead reports a finding of [finder.ahead]: its conflict is a pairing's.
func IsAhead(code Code) bool {
	switch code {
	case LaterConflict, LaterOwnKind, GrownConflict, GrownOwnKind, YoungConflict, YoungOwnKind:
		return true
	}
	return false
}

// ahead finds the pairings that are fine in today's check and come to be in conflict as
// the fish grow: a stop or advice as [future.decisionAhead] has it, once for each
// pairing, its gravest and of those the first.
func (f *finder) ahead() {
	if f.future == nil {
		return
	}
	rises := f.future.rises
	for i := 0; i < len(rises); {
		worst := &rises[i]
		for i++; i < len(rises) && rises[i].pair == worst.pair; i++ {
			if rises[i].decision > worst.decision {
				worst = &rises[i]
			}
		}
		if worst.decision > Proceed {
			f.addRise(worst)
		}
	}
}

func (f *finder) addRise(r *rise) {
	a, b := r.pair.First, r.pair.Second
	lines := []int{a, b}
	if a == b {
		lines = lines[:1]
	}
	severity := Advice
	if r.decision == Hold {
		severity = Stop
	}
	found := f.add(severity, f.riseCode(r), lines, nil,
		conflict.Evidence{Name: "level", Value: float64(r.level), Unit: "level"})
	s := &found.Statement
	if 0 < r.month && r.month < Beyond {
		s.Evidence = append(s.Evidence, conflict.Evidence{Name: "month", Value: float64(r.month), Unit: "month"})
	}
	if parted := f.parted(a, b); parted >= 0 {
		found.Remedy = f.NewChange(Separate, parted)
		a, b = parted, a+b-parted
	}
	s.Actor, s.Other = f.Lines[a].Species, f.Lines[b].Species
}

func (f *finder) riseCode(r *rise) Code {
	own := f.Lines[r.pair.First].Kind == f.Lines[r.pair.Second].Kind
	switch m := r.month; {
	case m == 0 && own:
		return YoungOwnKind
	case m == 0:
		return YoungConflict
	case m >= Beyond && own:
		return GrownOwnKind
	case m >= Beyond:
		return GrownConflict
	case own:
		return LaterOwnKind
	}
	return LaterConflict
}

// parted is the line to part from the other in time: one that grows rather than one that
// does not, one that need not stay, and the only line of its kind; -1 for none.
func (f *finder) parted(a, b int) int {
	if f.Lines[a].Kind == f.Lines[b].Kind {
		return -1
	}
	best := -1
	for _, i := range [...]int{a, b} {
		if f.Lines[i].Keep || f.Lines[i].Company != f.Lines[i].Fish {
			continue
		}
		if best < 0 || (f.future.growers[i].growing && !f.future.growers[best].growing) {
			best = i
		}
	}
	return best
}
