package remedies

import (
	"fmt"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// planner tries changes to one list.
type planner struct {
	book       *conflict.Book
	stock      stocking.Stock // in canonical order
	check      *stocking.Check
	candidates []candidate
	joining    bool // fish are about to join residents
	mayDo      bool // leaving out what joins is not enough, so that more may be asked of the keeper
	work       int  // pairings scored
	ended      bool

	target  stocking.Decision
	base    *stocking.Assessment // the list itself, made ready but not judged
	refs    []int                // of its lines
	whole   *stocking.Assessment // the same judged, once a plan has asked for it
	blocker map[blocker]int      // what is above the target, numbered
	// blocked are the pairings among the blockers, now or as the fish grow, and stopped
	// tells that some finding about lines of today or about the tank blocks too.
	blocked map[[2]int]bool
	stopped bool

	without []goneLine                // what is left in the tank without one line, by line
	single  []*conflict.Profile       // see alone
	kindly  map[[2]int]conflict.Level // see kindest
	apart   []*stocking.Assessment    // lines in a tank of their own, judged
	pairs   []stocking.Pair           // room for the pairings of a list that is only to be judged
}

// candidate is a change to try, with what the tank holds after it once that was asked for. All that is
// found of it but the pairings is the same whatever is aimed at.
type candidate struct {
	stocking.Change
	after *stocking.Assessment
}

// goneLine is the list without one line, which leaves it whether it is left out or gets a tank of its own.
type goneLine struct {
	after *stocking.Assessment
	trial *trial // of the tank, for the present target
	work  int    // that it took
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
	m := &planner{book: book, stock: s, check: check, base: stocking.NewAssessmentFrom(book, &s, s.Ready)}
	m.stock.Ready = nil
	m.base.Wanted = check.Wanted
	incoming := func(l stocking.Line) bool { return l.Incoming }
	m.joining = slices.ContainsFunc(check.Lines, incoming) && slices.ContainsFunc(check.Lines, func(l stocking.Line) bool { return !l.Incoming })
	m.refs = refsOf(m.base)
	m.single, m.apart = make([]*conflict.Profile, len(check.Lines)), make([]*stocking.Assessment, len(check.Lines))
	m.kindly, m.without = make(map[[2]int]conflict.Level), make([]goneLine, len(check.Lines))
	changes := m.gather()
	m.candidates = make([]candidate, len(changes))
	for i := range changes {
		m.candidates[i].Change = changes[i]
	}
	return m
}

// refsOf are the first places in the caller's list that lines came from.
func refsOf(j *stocking.Assessment) []int {
	refs := make([]int, len(j.Lines))
	for i := range refs {
		refs[i] = j.Lines[i].Line.Ref()
	}
	return refs
}

// setTarget numbers what is above a decision.
func (m *planner) setTarget(target stocking.Decision) {
	m.target, m.blocker = target, make(map[blocker]int)
	m.blocked, m.stopped = make(map[[2]int]bool), false
	for i := range m.without {
		m.without[i].trial = nil
	}
	for i := range m.check.Findings {
		if f := &m.check.Findings[i]; stocking.DecisionOf(m.check.Findings[i:i+1]) > target {
			m.number(m.finding(f, m.refs))
		}
	}
	for i := range m.check.Pairings {
		if p := &m.check.Pairings[i]; m.base.DecisionOnListed(p) > target {
			m.number(blocker{a: m.refs[p.First], b: m.refs[p.Second]})
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

func (m *planner) finding(f *stocking.Finding, refs []int) blocker {
	b := blocker{code: f.Code(), a: -1, b: -1}
	if n := len(f.Lines); n > 0 {
		b.a, b.b = refs[f.Lines[0]], refs[f.Lines[n-1]]
	}
	if len(f.Statement.Words) > 0 {
		b.about = f.Statement.Words[0]
	}
	return b
}

// try judges a changed list on the pairings that block it, those that fish grow into
// among them. The decision of the whole list is never better.
func (m *planner) try(c *candidate) trial {
	t := trial{changes: []stocking.Change{c.Change}, cost: m.cost(&c.Change), decision: stocking.Hold, left: make(marks, len(m.blocker)/64+1)}
	if m.spent() {
		for i := range m.blocker {
			t.left.add(m.blocker[i]) // all of them, in any order
		}
		return t
	}
	if c.Kind == stocking.LeaveLineOut || c.Kind == stocking.Separate {
		m.tryWithout(c, &t)
		return t
	}
	if c.after == nil {
		c.after = m.after(t.changes)
	}
	if c.after != nil {
		t.decision = m.tryBlocked(c.after, t.left)
	}
	return t
}

// tryWithout tries a list without a line. Where the rest is above the target already, it does not matter how the line
// fares by itself.
func (m *planner) tryWithout(c *candidate, t *trial) {
	rest := &m.without[c.Line]
	if rest.after == nil {
		rest.after = m.after(t.changes)
	}
	if rest.after == nil {
		return
	}
	if rest.trial == nil {
		before := m.work
		t.decision = m.tryBlocked(rest.after, t.left)
		rest.trial, rest.work = &trial{decision: t.decision, left: t.left}, m.work-before
	} else {
		m.work += rest.work
		t.decision, t.left = rest.trial.decision, rest.trial.left
	}
	switch {
	case c.Kind == stocking.LeaveLineOut:
	case t.decision <= m.target:
		t.decision = max(t.decision, m.setApart(c.Line))
	default:
		m.work++ // a line by itself is one pairing, judged or not
	}
}

// after is what the tank holds after changes, ready to be judged; nil where nothing is left. What the
// changes leave as it was is not prepared anew.
func (m *planner) after(changes []stocking.Change) *stocking.Assessment {
	if len(m.base.Lines) == 0 { // other animals alone
		return nil
	}
	j, gone := m.base, make([]int, 0, 4)
	var tank stocking.Tank
	if m.stock.Tank != nil {
		tank = *m.stock.Tank
	}
	for i := range changes {
		switch c := &changes[i]; {
		case c.Line < 0:
			changeTank(c, &tank)
			j = nil
		case c.Kind == stocking.LeaveLineOut || c.Kind == stocking.Separate:
			gone = append(gone, c.Line)
		default:
			return m.carried(changes)
		}
	}
	if j == nil {
		j = m.base.In(&tank)
	}
	if len(gone) == 0 {
		return j
	}
	if j = j.Without(gone); j == nil || len(j.Lines) == 0 {
		return m.carried(changes)
	}
	return j
}

// carried is what the tank holds after changes of any kind, its lines put in order anew.
func (m *planner) carried(changes []stocking.Change) *stocking.Assessment {
	rest := m.stock
	rest.Lines, rest.Tank = Apply(m.book, m.check.Lines, m.stock.Tank, changes...)
	if len(rest.Lines) == 0 {
		return nil
	}
	return stocking.NewAssessmentFrom(m.book, &rest, m.base)
}

// setApart is the decision of a line in a tank of its own.
func (m *planner) setApart(line int) stocking.Decision {
	if m.apart[line] == nil {
		s := stocking.Stock{Lines: []stocking.Line{m.check.Lines[line]}, Wanted: m.stock.Wanted, Region: m.stock.Region, Budget: m.stock.Budget}
		m.apart[line] = stocking.NewAssessmentFrom(m.book, &s, m.base)
		m.apart[line].Judge()
	}
	m.work += m.apart[line].PairCount()
	return m.apart[line].Decision
}

// tryBlocked judges the blocked pairings of a list and all of its findings, and marks
// the blockers that are left.
func (m *planner) tryBlocked(j *stocking.Assessment, left marks) stocking.Decision {
	refs := m.refs
	if len(j.Lines) != len(refs) || &j.Lines[0] != &m.base.Lines[0] {
		refs = refsOf(j)
	}
	if len(m.blocked) == 0 {
		j.Pairs = j.Pairs[:0]
	} else {
		j.ScoreSome(func(a, b int) bool { return m.blocked[[2]int{refs[a], refs[b]}] })
	}
	m.work += len(j.Pairs) + len(j.Lines)
	if m.stopped || j.PairsReach(m.target) {
		j.FinishAgain()
	} else {
		j.Findings = nil // none is among the blockers
		j.Decide()
	}
	for i := range j.Pairs {
		p := &j.Pairs[i]
		if n, ok := m.blocker[blocker{a: refs[p.First], b: refs[p.Second]}]; ok && j.DecisionOn(p) > m.target {
			left.add(n)
		}
	}
	for i := range j.Findings {
		if n, ok := m.blocker[m.finding(&j.Findings[i], refs)]; ok && stocking.DecisionOf(j.Findings[i:i+1]) > m.target {
			left.add(n)
		}
	}
	return j.Decision
}

// verified makes changes, judges what comes of them in full, and tells whether that is
// good enough.
func (m *planner) verified(changes ...stocking.Change) (r Remedy, ok bool) {
	if !m.someStay(changes) {
		return r, false
	}
	if j := m.after(changes); j != nil {
		if r.Decision, ok = m.reaches(j); !ok {
			return r, false
		}
	}
	for i := range changes {
		if c := &changes[i]; c.Kind == stocking.Separate {
			if r.Decision = max(r.Decision, m.setApart(c.Line)); r.Decision > m.target {
				return r, false
			}
		}
	}
	r.Changes = changes
	for i := range changes {
		r.Cost += m.cost(&changes[i])
	}
	return r, true
}

// reaches judges a list in full and tells whether it comes to the target; it ends at the
// first pairing that does not.
func (m *planner) reaches(j *stocking.Assessment) (stocking.Decision, bool) {
	m.work += j.PairCount()
	j.Pairs = m.pairs
	defer func() { m.pairs, j.Pairs = j.Pairs, nil }()
	j.ScoreWhile(func(p *stocking.Pair) bool { return j.DecisionOn(p) <= m.target })
	if !j.PairsReach(m.target) {
		return stocking.Hold, false
	}
	if !m.mends(j) {
		return stocking.Hold, false
	}
	d := j.Finish()
	return d, d <= m.target
}

// mends reports whether a changed list addresses the main reason of every pairing of the list that is above the
// target and stays in the tank.
func (m *planner) mends(j *stocking.Assessment) bool {
	refs := refsOf(j)
	for i := range j.Pairs {
		p := &j.Pairs[i]
		at := [2]int{refs[p.First], refs[p.Second]}
		first, second := slices.Index(m.refs, at[0]), slices.Index(m.refs, at[1])
		if _, blocks := m.blocker[blocker{a: at[0], b: at[1]}]; !blocks || first < 0 || second < 0 {
			continue
		}
		before, after := causesIn(m.base, first, second), causesIn(j, p.First, p.Second)
		if !before.MendedBy(&after) {
			return false
		}
	}
	return true
}

func causesIn(j *stocking.Assessment, first, second int) conflict.Causes {
	c := j.Conditions(first, second)
	return j.Book.Model.CausesOf(j.Lines[first].Profile, j.Lines[second].Profile, &c)
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
