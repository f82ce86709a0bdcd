// Package remedies finds the cheapest changes that bring a list to a better decision:
// every remedy it tells of was made and judged again.
package remedies

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// The reach of the search for remedies.
const (
	// MaxRemedies is the greatest number of remedies listed for one list.
	MaxRemedies = 5
	// MaxLines is the longest list, in canonical lines, for which remedies are
	// searched: a longer one is a warehouse, not a tank.
	MaxLines = 40
	// maxPairWork is how many pairings may be scored in the search before it ends without
	// having tried everything.
	maxPairWork = 40_000
)

// Remedies are the cheapest changes that bring a list to a better decision.
type Remedies struct {
	From stocking.Decision // of the list as it is
	// Best are remedies that bring the list to proceed or, where none does, from hold to
	// advise; the cheapest first, at most [MaxRemedies]. Where fish that would join are held, leaving out
	// those that must be comes before all, though it come to advise only.
	Best []Remedy
	// None is set unless a remedy brings the list to proceed, and says so.
	None     *conflict.Statement
	Complete bool // every single and paired change was tried or ruled out
}

// Remedy is one or more changes that are made together. [Carry] makes them; judging
// what comes of it gives Decision.
type Remedy struct {
	Changes  []stocking.Change
	Decision stocking.Decision
	Cost     float64 // of its changes together, in no unit: see the constants of remedies_cost.go
}

// Find finds the cheapest changes that bring a list to proceed, else to advise:
// single changes, two together, and where neither is enough, as many as it takes. The
// changes are the remedies of the findings, standard tank sizes, cover up to 0.9,
// readings moved into the shared water, and leaving out or separating a line; a line
// that must stay is never left out, nor a resident where others would join: it is given another tank, where nothing
// else helps. Each
// addresses the main reason of what it clears ([conflict.Causes.MendedBy]). Each was judged: its decision is what a check of
// the changed list gives. The check must be that of the list.
func Find(book *conflict.Book, s stocking.Stock, check *stocking.Check) Remedies {
	out := Remedies{From: check.Decision, Complete: true}
	if check.Decision == stocking.Proceed {
		out.None = &conflict.Statement{Code: NoneNeeded}
		return out
	}
	if len(check.Lines) > MaxLines || s.Budget.Ended() {
		return Remedies{From: check.Decision, None: &conflict.Statement{Code: NotAllTried}}
	}
	m := newPlanner(book, s, check)
	without, notSold := m.notJoining()
	m.mayDo = !notSold
	for target := stocking.Proceed; target < check.Decision; target++ {
		if out.Best = m.search(target); out.Best != nil {
			break
		}
	}
	proceeds := len(out.Best) > 0 && out.Best[0].Decision == stocking.Proceed
	if notSold {
		out.Best = first(without, out.Best)
	}
	out.Complete = !m.spent()
	if !proceeds {
		out.None = &conflict.Statement{Code: m.none(check.Decision, out.Best != nil)}
		if code, ok := withoutOthers(book, s, check); ok && out.Best == nil {
			out.None.Code = code
		}
	}
	return out
}

// withoutOthers says what the list comes to without the animals that would join and are not judged, which no change
// names; ok is false where it is held for more than these.
func withoutOthers(book *conflict.Book, s stocking.Stock, check *stocking.Check) (code stocking.Code, ok bool) {
	rest := s
	rest.Lines, rest.Ready = check.Lines, nil
	rest.Others = slices.DeleteFunc(slices.Clone(s.Others), func(o stocking.Other) bool { return o.Incoming })
	if check.Decision < stocking.Hold || len(rest.Others) == len(s.Others) || len(rest.Lines) == 0 {
		return "", false
	}
	switch stocking.NewAssessment(book, &rest).Judge() {
	case stocking.Proceed:
		return RestProceeds, true
	case stocking.Advise:
		return RestAdvised, true
	}
	return "", false
}

// notJoining is what of those that join is left out, and nothing else, so that the rest is no hold: the answer to
// whoever asks whether they may join. ok is false where they are not held, or where that is not enough.
func (m *planner) notJoining() (r Remedy, ok bool) {
	if !m.joining || m.check.Decision < stocking.Hold {
		return r, false
	}
	m.target = stocking.Advise
	var all, held []stocking.Change
	for i := range m.check.Lines {
		if l := &m.check.Lines[i]; l.Incoming && !l.Keep {
			all = append(all, m.ofLine(stocking.LeaveLineOut, i))
		}
	}
	if len(m.check.LeaveOut.Sets) > 0 {
		for _, l := range m.check.LeaveOut.Sets[0].Lines {
			held = append(held, m.ofLine(stocking.LeaveLineOut, l.Line))
		}
	}
	if len(held) > 0 && !slices.ContainsFunc(held, m.movesResident) {
		if r, ok = m.verified(held...); ok {
			return r, true
		}
	}
	if len(all) == 0 {
		return r, false
	}
	return m.pruned(all)
}

// first are remedies with one before the others, once.
func first(r Remedy, rest []Remedy) []Remedy {
	same := func(o Remedy) bool {
		return len(o.Changes) == len(r.Changes) && !slices.ContainsFunc(o.Changes, func(c stocking.Change) bool { return !holds(r.Changes, &c) })
	}
	out := append([]Remedy{r}, slices.DeleteFunc(rest, same)...)
	return out[:min(len(out), MaxRemedies)]
}

// movesResident reports a change that takes away a fish that lives in the tank while others ask to join it.
func (m *planner) movesResident(c stocking.Change) bool {
	return m.joining && c.Line >= 0 && (c.Kind == stocking.LeaveLineOut || c.Kind == stocking.Separate) && !m.check.Lines[c.Line].Incoming
}

func (m *planner) none(from stocking.Decision, some bool) stocking.Code {
	switch {
	case m.spent() && !some:
		return NotAllTried
	case from == stocking.Advise || some:
		return NoneToProceed
	}
	return NoneHelps
}

// Carry makes changes to a list that was judged and returns the lists that come of it:
// what stays in the tank first, then each line that was separated, in the smallest
// tank customary for it. Lines are those of the check, whose positions the changes
// name. An empty list is left away.
func Carry(book *conflict.Book, s stocking.Stock, lines []stocking.Line, changes ...stocking.Change) []stocking.Stock {
	rest := s
	rest.Lines, rest.Tank = Apply(book, lines, s.Tank, changes...)
	rest.Ready = nil
	out := make([]stocking.Stock, 0, 1+len(changes))
	if len(rest.Lines) > 0 {
		out = append(out, rest)
	}
	for i := range changes {
		if c := &changes[i]; c.Kind == stocking.Separate && 0 <= c.Line && c.Line < len(lines) {
			out = append(out, stocking.Stock{Lines: []stocking.Line{lines[c.Line]}, Wanted: s.Wanted, Region: s.Region, Budget: s.Budget})
		}
	}
	return out
}

// search finds the cheapest remedies that bring the list to a decision or better. Those that give residents another
// tank are told only where no other does; neither they nor longer plans where leaving out what joins is enough.
func (m *planner) search(target stocking.Decision) []Remedy {
	m.setTarget(target)
	candidates := m.useful()
	moving := func(c *candidate) bool { return m.movesResident(c.Change) }
	staying := slices.DeleteFunc(slices.Clone(candidates), moving)
	found := m.oneOrTwo(staying)
	if found == nil && m.mayDo {
		found = m.plan()
	}
	if found == nil && m.mayDo && len(staying) < len(candidates) {
		found = m.oneOrTwo(candidates)
	}
	slices.SortStableFunc(found, func(a, b Remedy) int { return cmp.Compare(a.Cost, b.Cost) })
	return found[:min(len(found), MaxRemedies)]
}

// oneOrTwo are the remedies of one change, or of two together; nil where none is enough.
func (m *planner) oneOrTwo(candidates []*candidate) []Remedy {
	tried := make([]trial, 0, len(candidates))
	for _, c := range candidates {
		tried = append(tried, m.try(c))
	}
	found := m.singles(tried)
	return append(found, m.paired(tried, found)...)
}

// singles are the single changes that are enough; of a row of sizes only the first.
func (m *planner) singles(tried []trial) (found []Remedy) {
	done := make(map[stocking.ChangeKind]bool)
	for i := range tried {
		t := &tried[i]
		kind := t.changes[0].Kind
		if len(found) >= MaxRemedies || t.decision > m.target || (done[kind] && isRow(kind)) {
			continue
		}
		if m.spent() {
			break
		}
		if r, ok := m.verified(t.changes...); ok {
			found = append(found, r)
			done[kind] = true
		}
	}
	return found
}

// isRow reports a kind of change of which there are several sizes, each doing at least
// what the one before does.
func isRow(kind stocking.ChangeKind) bool {
	return kind == stocking.LargerTank || kind == stocking.MoreCover
}

// duo is two changes to make together.
type duo struct {
	a, b *trial
	cost float64
}

// duos are the pairs of changes that may be enough together, neither of them alone, and
// cheaper than the cheapest single one; all where none is enough, but only those that leave a line out where leaving
// out what joins is an answer already. What both leave is
// left by the two together, but for a larger tank with more cover, which help one
// another. The cheapest come first.
func (m *planner) duos(tried []trial, singles []Remedy) (out []duo) {
	for i := range tried {
		for k := range tried[:i] {
			a, b := &tried[k], &tried[i]
			cost := a.cost + b.cost
			if a.decision <= m.target || b.decision <= m.target || !joins(a, b) || m.partsKind(a, b) || !m.mayDo && !m.leavesOut(a) && !m.leavesOut(b) ||
				(len(singles) > 0 && cost >= singles[0].Cost) {
				continue
			}
			if isRow(a.changes[0].Kind) && isRow(b.changes[0].Kind) || !a.left.meets(b.left) {
				out = append(out, duo{a, b, cost})
			}
		}
	}
	slices.SortStableFunc(out, func(x, y duo) int { return cmp.Compare(x.cost, y.cost) })
	return out
}

// paired are the cheapest two changes that are enough together; of rows of sizes only the
// first.
func (m *planner) paired(tried []trial, singles []Remedy) (found []Remedy) {
	done := make(map[[2]string]bool)
	for _, d := range m.duos(tried, singles) {
		key := [2]string{d.a.row(), d.b.row()}
		slices.Sort(key[:])
		if len(found) >= MaxRemedies || m.spent() {
			break
		}
		if done[key] {
			continue
		}
		if r, ok := m.verified(d.a.changes[0], d.b.changes[0]); ok {
			found = append(found, r)
			done[key] = true
		}
	}
	return found
}

// leavesOut reports a change that leaves a line out.
func (m *planner) leavesOut(t *trial) bool { return t.changes[0].Kind == stocking.LeaveLineOut }

// partsKind reports two changes of which one leaves out a line of a kind and the other gives the rest of the kind a
// tank: whoever sets up a tank for it keeps it.
func (m *planner) partsKind(a, b *trial) bool {
	x, y := &a.changes[0], &b.changes[0]
	gone := func(k stocking.ChangeKind) bool { return k == stocking.LeaveLineOut || k == stocking.Separate }
	return gone(x.Kind) && gone(y.Kind) && x.Kind != y.Kind && m.check.Lines[x.Line].Index == m.check.Lines[y.Line].Index
}

// joins reports whether two changes can be made together: not two of one row, nor two to
// one line.
func joins(a, b *trial) bool {
	x, y := &a.changes[0], &b.changes[0]
	if x.Line >= 0 && x.Line == y.Line {
		return false
	}
	return x.Kind != y.Kind || x.Line >= 0 || (x.Kind == stocking.MoveReading && x.Parameter != y.Parameter)
}
