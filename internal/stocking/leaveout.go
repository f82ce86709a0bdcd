package stocking

import (
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking/graph"
	"commensal/internal/stocking/leaveout"
)

// MaxLeaveOuts is the greatest number of equally good leave-out sets that are listed.
const MaxLeaveOuts = leaveout.MaxSets

// LeaveOut is the least costly set of lines to leave out so that no pairing is above
// the wanted level and no stop that leaving out can clear remains. Where fish are about to join and
// leaving out some of them is enough, residents are not left out.
type LeaveOut struct {
	// Sets are the best sets, each in order of line, at most [MaxLeaveOuts]. It is empty
	// when nothing need be left out, or when nothing that may be left out would help.
	Sets     []LeaveOutSet
	Cost     float64 // of each set: the sum of the weights, 1 a line where none is given
	Bound    float64 // no set can cost less; equal to Cost when Optimal
	Optimal  bool    // Cost is proved to be the least
	Complete bool    // Sets lists every best set
	Nodes    int64   // search nodes used
	// Pinned are conflicts among lines that must stay. No set clears them; the sets
	// clear everything else.
	Pinned []PinnedConflict
}

// LeaveOutSet is one set of lines to leave out.
type LeaveOutSet struct{ Lines []LeftOut }

// LeftOut is one line left out and the chief reason: the worst it would do or suffer
// among those that stay.
type LeftOut struct {
	Line   int
	With   int // the line that stays and clashes with it; itself for its own kind; -1 for the tank
	Reason conflict.Statement
}

// PinnedConflict is a conflict between two lines that must stay, or of one with the
// tank or with its own kind (First = Second).
type PinnedConflict struct {
	First, Second int
	Reason        conflict.Statement
}

// leaveOutSolver answers what to leave out of one judged list.
//
// Some conflicts stand whatever else is in the tank: they are the edges of a graph,
// or force a line out on their own. Others exist only because the rest of the list
// takes up ground or loads the water: those are soft. Without soft conflicts the answer
// is a least weighted vertex cover; with them it is searched for over covers.
type leaveOutSolver struct {
	*Assessment
	hard           *graph.Graph
	forced, pinned graph.Set
	stopped        graph.Set // of forced, those with a stop of their own
	weight         []float64
	soft           []Pair          // pairings above the wanted level, now or soon, only beside the others
	heavy          bool            // the load of the whole list is a stop
	burden         leaveout.Burden // meaningful when heavy
	ended          bool            // the budget ended before all conflicts were sorted
	out            LeaveOut
}

// leaveOut finds the least costly lines to leave out of a list judged in full.
func (j *Assessment) leaveOut() LeaveOut {
	c := &leaveOutSolver{Assessment: j}
	c.solve()
	c.prove()
	return c.out
}

// LeaveOutFor is leaveOut where another level is wanted. Where a species has several lines
// nothing is proved: the sets are good ones.
func (j *Assessment) LeaveOutFor(wanted conflict.Level) LeaveOut {
	strict := *j
	strict.Wanted = wanted
	c := &leaveOutSolver{Assessment: &strict}
	c.solve()
	return c.out
}

// solve finds sets by the conflicts of the whole list.
func (c *leaveOutSolver) solve() {
	c.pin()
	found := c.gather()
	if c.ended {
		return // nothing is said of what was not sorted
	}
	if !found {
		c.out = LeaveOut{Optimal: true, Complete: true}
		return
	}
	if len(c.soft) == 0 && !c.heavy {
		c.cover()
	} else {
		c.search()
	}
	c.checkSplitKinds()
}

// pin finds the lines that must stay. Where fish are about to join and the tank is no hold without
// them, those are the residents too: nobody gives away fish so that others may join.
func (c *leaveOutSolver) pin() {
	for i := range c.Lines {
		if c.Lines[i].Keep {
			c.pinned.Add(i)
		}
	}
	if !c.joining() {
		return
	}
	var join, stay []int
	for i := range c.Lines {
		switch {
		case !c.Lines[i].Incoming:
			stay = append(stay, i)
		case !c.pinned.Has(i):
			join = append(join, i)
		}
	}
	if len(join) > 0 && !c.Budget.Ended() && c.clears(join) {
		for _, i := range stay {
			c.pinned.Add(i)
		}
	}
}

// gather sorts the conflicts of the list; false when there are none.
func (c *leaveOutSolver) gather() bool {
	n := len(c.Lines)
	c.hard, c.weight = graph.New(n), make([]float64, n)
	for i := range c.Lines {
		c.weight[i] = max(c.Lines[i].Weight, 1e-6)
	}
	found := c.gatherStops()
	for _, p := range c.Pairs {
		if c.Budget.Ended() {
			c.ended = true
			return found
		}
		apart := p.First != p.Second && len(c.apart) > 0 && WatersApart(c.Lines[p.First].Species, c.Lines[p.Second].Species)
		if !apart && !c.Above(p.Level) && !c.future.soon(&p) {
			continue
		}
		found = true
		if !apart && !c.Above(c.levelWith(p, 0)) && !c.soonAlone(p) {
			c.soft = append(c.soft, p)
			continue
		}
		c.addHard(p)
	}
	return found
}

// gatherStops sorts the findings that are a stop: those of a line alone force it out.
func (c *leaveOutSolver) gatherStops() (found bool) {
	for i := range c.Findings {
		f := &c.Findings[i]
		if f.Severity != Stop {
			break
		}
		switch {
		case f.Code() == NoSharedWater || IsAhead(f.Code()): // its pairings are edges
			found = true
		case f.Code() == LoadTooHeavy:
			found = true
			c.burden, c.heavy = c.burdenOf()
		default:
			found = true
			for _, line := range f.Lines {
				if c.pinned.Has(line) {
					c.out.Pinned = append(c.out.Pinned, PinnedConflict{line, line, f.Statement})
					continue
				}
				c.forced.Add(line)
				c.stopped.Add(line)
			}
		}
	}
	return found
}

// addHard records a conflict that stands whatever else is in the tank. Between lines that
// must both stay it is reported and set aside.
func (c *leaveOutSolver) addHard(p Pair) {
	switch {
	case c.pinned.Has(p.First) && c.pinned.Has(p.Second):
		c.out.Pinned = append(c.out.Pinned, PinnedConflict{p.First, p.Second, c.pairReason(p)})
	case p.First == p.Second:
		c.forced.Add(p.First)
	default:
		c.hard.AddEdge(p.First, p.Second)
	}
}

// levelWith is a pairing's level when all other lines together defend so much ground.
func (c *leaveOutSolver) levelWith(p Pair, others float64) conflict.Level {
	cond := c.Conditions(p.First, p.Second)
	cond.OthersGroundCM2 = max(0, others)
	return c.LevelFor(p.First, p.Second, c.ValueOf(&c.Lines[p.First], &c.Lines[p.Second], &cond))
}

// cover answers a list without soft conflicts.
func (c *leaveOutSolver) cover() { c.claim(c.problem().Cover()) }

// search answers a list with soft conflicts.
func (c *leaveOutSolver) search() {
	p := c.problem()
	p.Broken = c.broken
	if c.heavy {
		p.Bound = c.burden.Bound
	}
	r := p.Search()
	c.claim(r)
	if r.Sets == nil {
		c.blockedByPins()
	}
}

// problem is the list as the search sees it.
func (c *leaveOutSolver) problem() *leaveout.Problem {
	return &leaveout.Problem{Hard: c.hard, Weight: c.weight, Forced: c.forced, Pinned: c.pinned, Budget: c.Budget}
}

// claim takes over what was found.
func (c *leaveOutSolver) claim(r leaveout.Result) {
	c.out.Nodes, c.out.Cost, c.out.Bound, c.out.Optimal, c.out.Complete = r.Nodes, r.Cost, r.Bound, r.Optimal, r.Complete
	c.take(r.Sets)
}

// take writes out sets with their reasons; an empty set says nothing.
func (c *leaveOutSolver) take(sets [][]int) {
	for _, set := range sets {
		if len(set) > 0 {
			c.out.Sets = append(c.out.Sets, LeaveOutSet{c.reasons(set)})
		}
	}
}

// checkSplitKinds judges what stays again where a set leaves out part of the lines of a
// species: a shoal that loses a line may nip more. A set that fails is dropped; when
// all fail, the first takes those species out altogether and is no longer proved.
func (c *leaveOutSolver) checkSplitKinds() {
	var good []LeaveOutSet
	var failed *LeaveOutSet
	for i := range c.out.Sets {
		set := &c.out.Sets[i]
		if c.Budget.Ended() { // what was not looked at again is not promised
			c.out.Sets, c.out.Optimal, c.out.Complete = good, false, false
			return
		}
		if !c.splits(set) || c.clearsUnpinned(set) {
			good = append(good, *set)
		} else if failed == nil {
			failed = set
		}
	}
	if failed == nil {
		return
	}
	c.out.Complete = false
	if c.out.Sets = good; good == nil {
		c.dropKinds(failed)
	}
}

// dropKinds leaves out every line of a species that a failed set splits.
func (c *leaveOutSolver) dropKinds(failed *LeaveOutSet) {
	var lines []int
	gone := make(map[int]bool)
	for _, l := range failed.Lines {
		gone[c.Lines[l.Line].Kind] = true
	}
	cost := 0.0
	for _, i := range c.allUnpinned() {
		if gone[c.Lines[i].Kind] {
			lines, cost = append(lines, i), cost+c.weight[i]
		}
	}
	c.out.Optimal = false
	set := LeaveOutSet{c.reasons(lines)}
	if c.clearsUnpinned(&set) {
		c.out.Sets, c.out.Cost = []LeaveOutSet{set}, cost
	}
}

// splits reports whether a set leaves out some lines of a species and keeps others.
func (c *leaveOutSolver) splits(set *LeaveOutSet) bool {
	gone := make(map[int]int)
	for _, l := range set.Lines {
		gone[c.Lines[l.Line].Kind]++
	}
	for i := range c.Lines {
		if n := gone[c.Lines[i].Kind]; n > 0 && !slices.ContainsFunc(set.Lines, func(l LeftOut) bool { return l.Line == i }) {
			return true
		}
	}
	return false
}

// clearsUnpinned is clears for a set with its reasons. Where lines that must stay clash, no
// check of what stays tells that from other conflicts: then nothing is dropped.
func (c *leaveOutSolver) clearsUnpinned(set *LeaveOutSet) bool {
	out := make([]int, len(set.Lines))
	for k, l := range set.Lines {
		out[k] = l.Line
	}
	return len(c.out.Pinned) > 0 || c.clears(out)
}

// maxTrialWork bounds the trials of sets where a species has several lines, in pairings of all
// lists that are judged.
const maxTrialWork = 40_000

// prove makes the claims true where a species has several lines. Leaving one of them out
// changes what the others defend and how they behave, which conflicts between two lines do
// not tell: so the sets are tried one by one, the cheapest first, each by the check of what
// stays. Where that takes too long, nothing is claimed but what was tried.
func (c *leaveOutSolver) prove() {
	if !c.severalLines() || len(c.out.Sets) == 0 && len(c.out.Pinned) == 0 {
		return
	}
	c.out.Optimal, c.out.Complete = false, false
	var all []int // that may be left out; nil where the conflicts of those that must stay are not in doubt
	if len(c.out.Pinned) > 0 {
		if all = c.allUnpinned(); !c.clears(all) {
			c.out.Bound = 0 // no check of what stays tells pinned conflicts from others
			return
		}
		c.out.Pinned = nil // it was the company of its own kind that made them clash
	}
	found, ended, bound := c.tryInOrder()
	c.out.Bound = bound
	if found == nil {
		if all != nil {
			c.out.Sets = []LeaveOutSet{{c.reasons(all)}}
			c.out.Cost = 0
			for _, line := range all {
				c.out.Cost += c.weight[line]
			}
		}
		return
	}
	c.out.Cost, c.out.Bound, c.out.Optimal = bound, bound, true
	c.out.Complete = ended && len(found) <= MaxLeaveOuts
	slices.SortFunc(found, slices.Compare)
	c.out.Sets = nil
	c.take(found[:min(len(found), MaxLeaveOuts)])
}

// allUnpinned are the lines that may be left out.
func (c *leaveOutSolver) allUnpinned() (lines []int) {
	for i := range c.Lines {
		if !c.pinned.Has(i) {
			lines = append(lines, i)
		}
	}
	return lines
}

// severalLines reports a species of which more than one line is on the list.
func (c *leaveOutSolver) severalLines() bool {
	return slices.ContainsFunc(c.Lines, func(r Resident) bool { return r.Company != r.Fish })
}

// tryInOrder finds the cheapest sets that clear the list, none where the trials run out
// before; ended tells that there are no others of that cost. No set costs less than bound.
func (c *leaveOutSolver) tryInOrder() (found [][]int, ended bool, bound float64) {
	var may, must []int // those with a stop of their own are in every set
	for i := range c.Lines {
		switch {
		case c.pinned.Has(i):
		case c.stopped.Has(i):
			must = append(must, i)
		default:
			may = append(may, i)
		}
	}
	sets := leaveout.InOrderOfCost(c.weight, may, must)
	best := int64(math.MaxInt64)
	for work := 0; work < maxTrialWork && !c.Budget.Ended(); work += len(c.Lines) * len(c.Lines) {
		set, cost, ok := sets.Next()
		if !ok || cost > best {
			return found, true, leaveout.Cost(min(cost, best))
		}
		bound = leaveout.Cost(cost)
		if c.clears(set) {
			found, best = append(found, set), cost
		}
	}
	return found, false, bound
}

// clears judges what stays without some lines and reports whether that tank is no hold.
func (c *leaveOutSolver) clears(out []int) bool {
	gone := graph.SetOf(out...)
	s := Stock{Tank: c.Tank, Wanted: c.Wanted, Region: c.Region, Budget: c.Budget}
	for i := range c.Lines {
		if !gone.Has(i) {
			s.Lines = append(s.Lines, c.Lines[i].Line)
		}
	}
	if len(s.Lines) == 0 {
		return true
	}
	j := NewAssessmentFrom(c.Book, &s, c.Assessment)
	j.ScoreWhile(func(p *Pair) bool { return !j.Above(p.Level) })
	if slices.ContainsFunc(j.Pairs, func(p Pair) bool { return j.Above(p.Level) }) {
		return false
	}
	j.Finish()
	return j.TankDecision < Hold
}
