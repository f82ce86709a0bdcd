package stocking

import (
	"fmt"

	"commensal/internal/conflict"
)

// mender tries changes to one list.
type mender struct {
	book       *conflict.Book
	stock      Stock // in canonical order
	check      *Check
	candidates []Change
	work       int // pairings scored

	target  Decision
	base    *judging        // the list itself, made ready but not judged
	whole   *judging        // the same judged, once a plan has asked for it
	blocker map[blocker]int // what is above the target, numbered
	// blocked are the pairings among the blockers, now or as the fish grow, and stopped
	// tells that some finding about lines of today or about the tank blocks too.
	blocked map[[2]int]bool
	stopped bool
}

// blocker tells one thing that keeps a list above a decision, whatever changes around it.
// Lines are known by the first place in the caller's list that they came from.
type blocker struct {
	code  Code // empty for a pairing
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
	changes  []Change
	cost     float64
	decision Decision
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

func newMender(book *conflict.Book, s Stock, check *Check) *mender {
	s.Lines = check.Lines
	m := &mender{book: book, stock: s, check: check, base: prepare(book, &s)}
	m.base.wanted = check.Wanted
	m.candidates = m.gather()
	return m
}

// setTarget numbers what is above a decision.
func (m *mender) setTarget(target Decision) {
	m.target, m.blocker = target, make(map[blocker]int)
	m.blocked, m.stopped = make(map[[2]int]bool), false
	for i := range m.check.Findings {
		if f := &m.check.Findings[i]; decisionOf(m.check.Findings[i:i+1]) > target {
			m.number(m.finding(f, m.check.Lines))
		}
	}
	for i := range m.check.Pairings {
		if p := &m.check.Pairings[i]; m.base.decisionFor(p.Score.Level) > target {
			m.number(blocker{a: refOf(&m.check.Lines[p.First]), b: refOf(&m.check.Lines[p.Second])})
		}
	}
}

func (m *mender) number(b blocker) {
	if _, ok := m.blocker[b]; !ok {
		m.blocker[b] = len(m.blocker)
	}
	if b.code == "" || isAhead(b.code) {
		m.blocked[[2]int{b.a, b.b}] = true
	}
	m.stopped = m.stopped || b.code != ""
}

func (m *mender) finding(f *Finding, lines []Line) blocker {
	b := blocker{code: f.Code(), a: -1, b: -1}
	if n := len(f.Lines); n > 0 {
		b.a, b.b = refOf(&lines[f.Lines[0]]), refOf(&lines[f.Lines[n-1]])
	}
	if len(f.Statement.Words) > 0 {
		b.about = f.Statement.Words[0]
	}
	return b
}

// refOf tells a line through changes of the list.
func refOf(l *Line) int {
	if len(l.Refs) == 0 {
		return -1
	}
	return l.Refs[0]
}

// try judges a changed list on the pairings that block it, those that fish grow into
// among them. The decision of the whole list is never better.
func (m *mender) try(c Change) trial {
	t := trial{changes: []Change{c}, cost: m.cost(&c), decision: Hold, left: make(marks, len(m.blocker)/64+1)}
	if m.work >= maxPairWork {
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
func (m *mender) prepared(s *Stock, c *Change) *judging {
	if c.Line < 0 {
		return m.base.in(s.Tank)
	}
	return prepareLike(m.book, s, m.base)
}

// tryBlocked judges the blocked pairings of a list and all of its findings, and marks
// the blockers that are left.
func (m *mender) tryBlocked(j *judging, left marks) Decision {
	refs := make([]int, len(j.lines))
	for i := range j.lines {
		refs[i] = refOf(&j.lines[i].Line)
	}
	j.judgeSome(func(a, b int) bool { return m.blocked[[2]int{refs[a], refs[b]}] })
	m.work += len(j.pairs) + len(j.lines)
	if m.stopped || j.pairsReach(m.target) {
		j.rest()
	} else {
		j.decision = j.decide() // no finding is among the blockers
	}
	for i := range j.pairs {
		p := &j.pairs[i]
		if n, ok := m.blocker[blocker{a: refs[p.first], b: refs[p.second]}]; ok && j.decisionFor(p.level) > m.target {
			left.add(n)
		}
	}
	lines := make([]Line, len(j.lines))
	for i := range lines {
		lines[i] = j.lines[i].Line
	}
	for i := range j.findings {
		if n, ok := m.blocker[m.finding(&j.findings[i], lines)]; ok && decisionOf(j.findings[i:i+1]) > m.target {
			left.add(n)
		}
	}
	return j.decision
}

// judged is the decision of a list in full.
func (m *mender) judged(s *Stock) Decision {
	j := prepareLike(m.book, s, m.base)
	m.work += j.pairCount()
	return j.judge()
}

// verified makes changes, judges what comes of them in full, and tells whether that is
// good enough.
func (m *mender) verified(changes ...Change) (r ListRemedy, ok bool) {
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
func (m *mender) reaches(s *Stock) (Decision, bool) {
	j := prepareLike(m.book, s, m.base)
	m.work += j.pairCount()
	j.judgePairsWhile(func(p *pair) bool { return j.decisionFor(p.level) <= m.target })
	if !j.pairsReach(m.target) {
		return Hold, false
	}
	d := j.rest()
	return d, d <= m.target
}

// pairsReach reports whether no judged pairing is above a decision.
func (j *judging) pairsReach(target Decision) bool {
	for i := range j.pairs {
		if j.decisionFor(j.pairs[i].level) > target {
			return false
		}
	}
	return true
}

// someStay reports whether the tank still has fish after the changes.
func (m *mender) someStay(changes []Change) bool {
	stay := len(m.check.Lines)
	for i := range changes {
		if k := changes[i].Kind; k == LeaveLineOut || k == Separate {
			stay--
		}
	}
	return stay > 0
}

// judgeSome scores the chosen pairings only.
func (j *judging) judgeSome(chosen func(a, b int) bool) {
	j.pairs = nil
	j.addSome(chosen)
}

// addSome scores the chosen pairings beside those that were scored before.
func (j *judging) addSome(chosen func(a, b int) bool) {
	j.eachPair(func(a, b int) bool {
		if chosen(a, b) {
			j.score(a, b)
		}
		return true
	})
}
