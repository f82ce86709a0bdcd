package remedies

import (
	"fmt"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// planner tries changes to one list.
type planner struct {
	book       *conflict.Book
	stock      stocking.Stock // in canonical order
	check      *stocking.Check
	candidates []stocking.Change
	work       int // pairings scored
	ended      bool

	target  stocking.Decision
	base    *stocking.Assessment // the list itself, made ready but not judged
	whole   *stocking.Assessment // the same judged, once a plan has asked for it
	blocker map[blocker]int      // what is above the target, numbered
	// blocked are the pairings among the blockers, now or as the fish grow, and stopped
	// tells that some finding about lines of today or about the tank blocks too.
	blocked map[[2]int]bool
	stopped bool
}

// blocker tells one thing that keeps a list above a decision, whatever changes around it.
// Lines are known by the first place in the caller's list that they came from.
type blocker struct {
	code  stocking.Code // empty for a pairing
	a, b  int
	about conflict.WordCode
}

// marks is a set of blockers.
type marks []uint64

func (s marks) add(i int) { s[i/64] |= 1 << (i % 64) }

func (s marks) meets(o marks) bool {
	for i := range s {
		if s[i]&o[i] != 0 {
			return true
		}
	}
	return false
}

// trial is what changes come to, judged on the blockers alone: the decision is at best
// this.
type trial struct {
	changes  []stocking.Change
	cost     float64
	decision stocking.Decision
	left     marks
}

// row is a key that all sizes of one kind of change share.
func (t *trial) row() string {
	c := &t.changes[0]
	if isRow(c.Kind) {
		return string(c.Kind)
	}
	return fmt.Sprint(c.Kind, c.Line, c.Parameter, c.To, c.Count)
}

func newPlanner(book *conflict.Book, s stocking.Stock, check *stocking.Check) *planner {
	s.Lines = check.Lines
	m := &planner{book: book, stock: s, check: check, base: stocking.NewAssessment(book, &s)}
	m.base.Wanted = check.Wanted
	m.candidates = m.gather()
	return m
}

// setTarget numbers what is above a decision.
func (m *planner) setTarget(target stocking.Decision) {
	m.target, m.blocker = target, make(map[blocker]int)
	m.blocked, m.stopped = make(map[[2]int]bool), false
	for i := range m.check.Findings {
		if f := &m.check.Findings[i]; stocking.DecisionOf(m.check.Findings[i:i+1]) > target {
			m.number(m.finding(f, m.check.Lines))
		}
	}
	for i := range m.check.Pairings {
		if p := &m.check.Pairings[i]; m.base.DecisionOnListed(p) > target {
			m.number(blocker{a: m.check.Lines[p.First].Ref(), b: m.check.Lines[p.Second].Ref()})
		}
	}
}

// spent reports that the search has to end: it has tried enough, or the budget ended.
func (m *planner) spent() bool {
	m.ended = m.ended || m.work >= maxPairWork || m.stock.Budget.Ended()
	return m.ended
}

func (m *planner) number(b blocker) {
	if _, ok := m.blocker[b]; !ok {
		m.blocker[b] = len(m.blocker)
	}
	if b.code == "" || stocking.IsAhead(b.code) {
		m.blocked[[2]int{b.a, b.b}] = true
	}
	m.stopped = m.stopped || b.code != ""
}

func (m *planner) finding(f *stocking.Finding, lines []stocking.Line) blocker {
	b := blocker{code: f.Code(), a: -1, b: -1}
	if n := len(f.Lines); n > 0 {
		b.a, b.b = lines[f.Lines[0]].Ref(), lines[f.Lines[n-1]].Ref()
	}
	if len(f.Statement.Words) > 0 {
		b.about = f.Statement.Words[0]
	}
	return b
}

// try judges a changed list on the pairings that block it, those that fish grow into
// among them. The decision of the whole list is never better.
func (m *planner) try(c stocking.Change) trial {
	t := trial{changes: []stocking.Change{c}, cost: m.cost(&c), decision: stocking.Hold, left: make(marks, len(m.blocker)/64+1)}
	if m.spent() {
		for i := range m.blocker {
			t.left.add(m.blocker[i]) // all of them, in any order
		}
		return t
	}
	lists := Carry(m.book, m.stock, m.check.Lines, c)
	if len(lists) == 0 {
		return t
	}
	t.decision = m.tryBlocked(m.prepared(&lists[0], &c), t.left)
	for i := range lists[1:] {
		t.decision = max(t.decision, m.judged(&lists[1+i]))
	}
	return t
}

// prepared is a changed list ready to be judged; the fish are the same where only the
// tank was changed.
func (m *planner) prepared(s *stocking.Stock, c *stocking.Change) *stocking.Assessment {
	if c.Line < 0 {
		return m.base.In(s.Tank)
	}
	return stocking.NewAssessmentFrom(m.book, s, m.base)
}

// tryBlocked judges the blocked pairings of a list and all of its findings, and marks
// the blockers that are left.
func (m *planner) tryBlocked(j *stocking.Assessment, left marks) stocking.Decision {
	refs := make([]int, len(j.Lines))
	for i := range j.Lines {
		refs[i] = j.Lines[i].Line.Ref()
	}
	j.ScoreSome(func(a, b int) bool { return m.blocked[[2]int{refs[a], refs[b]}] })
	m.work += len(j.Pairs) + len(j.Lines)
	if m.stopped || j.PairsReach(m.target) {
		j.Finish()
	} else {
		j.Decide() // no finding is among the blockers
	}
	for i := range j.Pairs {
		p := &j.Pairs[i]
		if n, ok := m.blocker[blocker{a: refs[p.First], b: refs[p.Second]}]; ok && j.DecisionOn(p) > m.target {
			left.add(n)
		}
	}
	lines := make([]stocking.Line, len(j.Lines))
	for i := range lines {
		lines[i] = j.Lines[i].Line
	}
	for i := range j.Findings {
		if n, ok := m.blocker[m.finding(&j.Findings[i], lines)]; ok && stocking.DecisionOf(j.Findings[i:i+1]) > m.target {
			left.add(n)
		}
	}
	return j.Decision
}

// judged is the decision of a list in full.
func (m *planner) judged(s *stocking.Stock) stocking.Decision {
	j := stocking.NewAssessmentFrom(m.book, s, m.base)
	m.work += j.PairCount()
	return j.Judge()
}

// verified makes changes, judges what comes of them in full, and tells whether that is
// good enough.
func (m *planner) verified(changes ...stocking.Change) (r Remedy, ok bool) {
	lists := Carry(m.book, m.stock, m.check.Lines, changes...)
	if !m.someStay(changes) {
		return r, false
	}
	for i := range lists {
		d, ok := m.reaches(&lists[i])
		if !ok {
			return r, false
		}
		r.Decision = max(r.Decision, d)
	}
	r.Changes = changes
	for i := range changes {
		r.Cost += m.cost(&changes[i])
	}
	return r, true
}

// reaches judges a list in full and tells whether it comes to the target; it ends at the
// first pairing that does not.
func (m *planner) reaches(s *stocking.Stock) (stocking.Decision, bool) {
	j := stocking.NewAssessmentFrom(m.book, s, m.base)
	m.work += j.PairCount()
	j.ScoreWhile(func(p *stocking.Pair) bool { return j.DecisionOn(p) <= m.target })
	if !j.PairsReach(m.target) {
		return stocking.Hold, false
	}
	d := j.Finish()
	return d, d <= m.target
}

// someStay reports whether the tank still has fish after the changes.
func (m *planner) someStay(changes []stocking.Change) bool {
	stay := len(m.check.Lines)
	for i := range changes {
		if k := changes[i].Kind; k == stocking.LeaveLineOut || k == stocking.Separate {
			stay--
		}
	}
	return stay > 0
}
