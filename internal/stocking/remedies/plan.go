package remedies

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// maxPlanSteps bounds how often a plan is judged and added to.
const maxPlanSteps = 8

// plan is the last resort where no two changes are enough: do what the findings ask for
// and leave out the least costly set of what still clashes; in another attempt, leave
// out first. What was not needed is taken back.
func (m *planner) plan() (found []Remedy) {
	for _, cutFirst := range [...]bool{true, false} {
		r, ok := m.attempt(cutFirst)
		if ok && !slices.ContainsFunc(found, func(o Remedy) bool { return o.Cost == r.Cost }) {
			found = append(found, r)
		}
	}
	return found
}

// attempt adds to a plan until it reaches the target, or nothing more is to be added.
func (m *planner) attempt(cutFirst bool) (r Remedy, ok bool) {
	var changes []stocking.Change
	cut := false
	for range maxPlanSteps {
		j := m.changed(changes)
		if j == nil || m.spent() {
			return r, false
		}
		if j.Decision <= m.target {
			return m.pruned(changes)
		}
		var more []stocking.Change
		if cut || !cutFirst {
			more = m.asked(j, changes)
		}
		switch {
		case len(more) > 0:
		case cut:
			return r, false
		default:
			more, cut = m.cut(j), true
		}
		changes = append(changes, more...)
	}
	return r, false
}

// changed is what the tank holds after changes, judged; nil where nothing is left.
func (m *planner) changed(changes []stocking.Change) *stocking.Assessment {
	if len(changes) == 0 && m.whole != nil {
		return m.whole
	}
	j := m.after(changes)
	if j == nil {
		return nil
	}
	if j == m.base {
		j = j.In(m.stock.Tank)
	}
	m.work += j.PairCount()
	j.Judge()
	if len(changes) == 0 {
		m.whole = j
	}
	return j
}

// cut leaves out the first of the best leave-out sets for the target: to proceed, no
// pairing may be moderate.
func (m *planner) cut(j *stocking.Assessment) (out []stocking.Change) {
	wanted := j.Wanted
	if m.target == stocking.Proceed {
		wanted = conflict.Low
	}
	sets := j.LeaveOutFor(wanted).Sets
	if len(sets) == 0 {
		return nil
	}
	for _, l := range sets[0].Lines {
		if c, ok := m.original(j, m.ofLine(stocking.LeaveLineOut, 0), l.Line); ok {
			if m.movesResident(c) {
				return nil
			}
			out = append(out, c)
		}
	}
	return out
}

// asked are the changes that the findings of a partly mended list ask for and that the
// plan does not have yet: one size up for a row.
func (m *planner) asked(j *stocking.Assessment, have []stocking.Change) (out []stocking.Change) {
	for i := range j.Findings {
		f := &j.Findings[i]
		if f.Remedy == nil || stocking.DecisionOf(j.Findings[i:i+1]) <= m.target || f.Remedy.Kind == stocking.CorrectLength || stocking.IsAhead(f.Code()) {
			continue
		}
		c, ok := m.original(j, *f.Remedy, f.Remedy.Line)
		if ok && !m.check.AsksForMoreOfHeld(&c) && !slices.ContainsFunc(slices.Concat(have, out), func(h stocking.Change) bool { return sameAim(&h, &c) }) {
			out = append(out, c)
		}
	}
	return out
}

// sameAim reports two changes of which the plan needs one: the same kind of change to
// the same line or to the same property of the tank, unless the second is a larger tank.
func sameAim(have, c *stocking.Change) bool {
	if have.Kind != c.Kind || have.Line != c.Line || have.Parameter != c.Parameter {
		return false
	}
	return c.Kind != stocking.LargerTank || have.Size.FootprintCM2()*have.Size.HeightCM >= c.Size.FootprintCM2()*c.Size.HeightCM
}

// original is a change to a line of a mended list, or with -1 to its tank, as a change to
// the list itself; false where it speaks of fish that the list does not have.
func (m *planner) original(j *stocking.Assessment, c stocking.Change, line int) (stocking.Change, bool) {
	if c.Kind == stocking.MoveReading {
		return m.intoShared(j, c)
	}
	if line < 0 {
		return c, true
	}
	ref := j.Lines[line].Line.Ref()
	for i := range m.check.Lines {
		if m.check.Lines[i].Index == j.Lines[line].Index && m.check.Lines[i].Ref() == ref {
			c.Line, c.Statement.Actor = i, j.Lines[line].Species
			return c, true
		}
	}
	return c, false
}

// intoShared moves a reading to where all lines that are left prefer it, rather than into
// the range of one of them.
func (m *planner) intoShared(j *stocking.Assessment, c stocking.Change) (stocking.Change, bool) {
	for _, w := range j.SharedWater().Windows {
		if w.Parameter == c.Parameter && w.PreferredOK {
			return *j.ReadingInto(w.Parameter, c.From, w.Preferred), true
		}
	}
	return c, true
}

// pruned takes back the changes that are not needed, the costliest first, and verifies
// what is left.
func (m *planner) pruned(changes []stocking.Change) (best Remedy, ok bool) {
	slices.SortStableFunc(changes, func(a, b stocking.Change) int { return cmp.Compare(m.cost(&b), m.cost(&a)) })
	if best, ok = m.verified(changes...); !ok {
		return best, false
	}
	for i := 0; i < len(best.Changes) && len(best.Changes) > 1 && !m.spent(); {
		fewer := slices.Delete(slices.Clone(best.Changes), i, i+1)
		if r, ok := m.verified(fewer...); ok {
			best = r
		} else {
			i++
		}
	}
	return best, true
}

// cheapestFirst sorts changes by cost, equals as they came.
func (m *planner) cheapestFirst(changes []stocking.Change) []stocking.Change {
	slices.SortStableFunc(changes, func(a, b stocking.Change) int { return cmp.Compare(m.cost(&a), m.cost(&b)) })
	return changes
}
