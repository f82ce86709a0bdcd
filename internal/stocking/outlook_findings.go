package stocking

import "commensal/internal/conflict"

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
