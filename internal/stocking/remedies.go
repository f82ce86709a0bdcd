package stocking

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
)

// The reach of the search for remedies.
const (
	// MaxRemedies is the greatest number of remedies listed for one list.
	MaxRemedies = 5
	// MaxRemedyLines is the longest list, in canonical lines, for which remedies are
	// searched: a longer one is a warehouse, not a tank.
	MaxRemedyLines = 40
	// maxPairWork is how many pairings may be scored in the search before it ends without
	// having tried everything.
	maxPairWork = 40_000
)

// What is said where no remedy brings a list to proceed.
const (
	NoneNeeded    Code = "remedy.none_needed"
	NoneToProceed Code = "remedy.none_to_proceed"
	NoneHelps     Code = "remedy.none_helps"
	NotAllTried   Code = "remedy.not_all_tried"
)

// ListRemedies are the cheapest changes that bring a list to a better decision.
type ListRemedies struct {
	From Decision // of the list as it is
	// Best are remedies that bring the list to proceed or, where none does, from hold to
	// advise; the cheapest first, at most [MaxRemedies].
	Best []ListRemedy
	// None is set unless a remedy brings the list to proceed, and says so.
	None     *conflict.Statement
	Complete bool // every single and paired change was tried or ruled out
}

// ListRemedy is one or more changes that are made together. [Carry] makes them; judging
// what comes of it gives Decision.
type ListRemedy struct {
	Changes  []Change
	Decision Decision
	Cost     float64 // of its changes together, in no unit: see the constants of remedies_cost.go
}

// Remedies finds the cheapest changes that bring a list to proceed, else to advise:
// single changes, two together, and where neither is enough, as many as it takes. The
// changes are the remedies of the findings, standard tank sizes, cover up to 0.9,
// readings moved into the shared water, and leaving out or separating a line; a line
// that must stay is never left out. Each was judged: its decision is what a check of
// the changed list gives. The check must be that of the list.
func Remedies(book *conflict.Book, s Stock, check *Check) ListRemedies {
	out := ListRemedies{From: check.Decision, Complete: true}
	if check.Decision == Proceed {
		out.None = &conflict.Statement{Code: NoneNeeded}
		return out
	}
	if len(check.Lines) > MaxRemedyLines {
		return ListRemedies{From: check.Decision, None: &conflict.Statement{Code: NotAllTried}}
	}
	m := newMender(book, s, check)
	for target := Proceed; target < check.Decision; target++ {
		if out.Best = m.search(target); out.Best != nil {
			break
		}
	}
	out.Complete = m.work < maxPairWork
	if out.Best == nil || out.Best[0].Decision > Proceed {
		out.None = &conflict.Statement{Code: m.none(check.Decision, out.Best != nil)}
	}
	return out
}

func (m *mender) none(from Decision, some bool) Code {
	switch {
	case m.work >= maxPairWork && !some:
		return NotAllTried
	case from == Advise || some:
		return NoneToProceed
	}
	return NoneHelps
}

// Carry makes changes to a list that was judged and returns the lists that come of it:
// what stays in the tank first, then each line that was separated, in the smallest
// tank customary for it. Lines are those of the check, whose positions the changes
// name. An empty list is left away.
func Carry(book *conflict.Book, s Stock, lines []Line, changes ...Change) []Stock {
	rest := s
	rest.Lines, rest.Tank = Apply(book, lines, s.Tank, changes...)
	out := make([]Stock, 0, 1+len(changes))
	if len(rest.Lines) > 0 {
		out = append(out, rest)
	}
	for i := range changes {
		if c := &changes[i]; c.Kind == Separate && 0 <= c.Line && c.Line < len(lines) {
			out = append(out, Stock{Lines: []Line{lines[c.Line]}, Wanted: s.Wanted})
		}
	}
	return out
}

// search finds the cheapest remedies that bring the list to a decision or better.
func (m *mender) search(target Decision) []ListRemedy {
	m.setTarget(target)
	candidates := m.useful()
	tried := make([]trial, 0, len(candidates))
	for _, c := range candidates {
		tried = append(tried, m.try(c))
	}
	found := m.singles(tried)
	found = append(found, m.paired(tried, found)...)
	if found == nil {
		found = m.plan()
	}
	slices.SortStableFunc(found, func(a, b ListRemedy) int { return cmp.Compare(a.Cost, b.Cost) })
	return found[:min(len(found), MaxRemedies)]
}

// singles are the single changes that are enough; of a row of sizes only the first.
func (m *mender) singles(tried []trial) (found []ListRemedy) {
	done := make(map[ChangeKind]bool)
	for i := range tried {
		t := &tried[i]
		kind := t.changes[0].Kind
		if len(found) >= MaxRemedies || t.decision > m.target || (done[kind] && isRow(kind)) {
			continue
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
func isRow(kind ChangeKind) bool { return kind == LargerTank || kind == MoreCover }

// duo is two changes to make together.
type duo struct {
	a, b *trial
	cost float64
}

// duos are the pairs of changes that may be enough together, neither of them alone, and
// cheaper than the cheapest single one; all where none is enough. What both leave is
// left by the two together, but for a larger tank with more cover, which help one
// another. The cheapest come first.
func (m *mender) duos(tried []trial, singles []ListRemedy) (out []duo) {
	for i := range tried {
		for k := range tried[:i] {
			a, b := &tried[k], &tried[i]
			cost := a.cost + b.cost
			if a.decision <= m.target || b.decision <= m.target || !joins(a, b) ||
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
func (m *mender) paired(tried []trial, singles []ListRemedy) (found []ListRemedy) {
	done := make(map[[2]string]bool)
	for _, d := range m.duos(tried, singles) {
		key := [2]string{d.a.row(), d.b.row()}
		if len(found) >= MaxRemedies || m.work >= maxPairWork {
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

// joins reports whether two changes can be made together: not two of one row, nor two to
// one line.
func joins(a, b *trial) bool {
	x, y := &a.changes[0], &b.changes[0]
	if x.Line >= 0 && x.Line == y.Line {
		return false
	}
	return x.Kind != y.Kind || x.Line >= 0 || (x.Kind == MoveReading && x.Parameter != y.Parameter)
}
