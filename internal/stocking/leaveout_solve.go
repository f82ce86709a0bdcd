package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking/graph"
)

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
	weight         []float64
	soft           []Pair // pairings above the wanted level, now or soon, only beside the others
	heavy          bool   // the load of the whole list is a stop
	burden         burden // meaningful when heavy
	ended          bool   // the budget ended before all conflicts were sorted
	out            LeaveOut
}

// leaveOut finds the least costly lines to leave out of a list judged in full.
func (j *Assessment) leaveOut() LeaveOut { return j.LeaveOutFor(j.Wanted) }

// LeaveOutFor is leaveOut where another level is wanted.
func (j *Assessment) LeaveOutFor(wanted conflict.Level) LeaveOut {
	strict := *j
	strict.Wanted = wanted
	c := &leaveOutSolver{Assessment: &strict}
	found := c.gather()
	if c.ended {
		return LeaveOut{}
	}
	if !found {
		return LeaveOut{Optimal: true, Complete: true}
	}
	if len(c.soft) == 0 && !c.heavy {
		c.cover()
	} else {
		c.search()
	}
	c.checkSplitKinds()
	return c.out
}

// gather sorts the conflicts of the list; false when there are none.
func (c *leaveOutSolver) gather() bool {
	n := len(c.Lines)
	c.hard, c.weight = graph.New(n), make([]float64, n)
	for i := range c.Lines {
		c.weight[i] = max(c.Lines[i].Weight, 1e-6)
		if c.Lines[i].Keep {
			c.pinned.Add(i)
		}
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
	return conflict.LevelOf(c.Value(c.Lines[p.First].Profile, c.Lines[p.Second].Profile, &cond))
}

// cover answers a list without soft conflicts.
func (c *leaveOutSolver) cover() {
	r := c.solve(c.forced, c.pinned, graph.DefaultNodeLimit)
	c.out.Nodes, c.out.Cost, c.out.Bound = r.Nodes, r.Cost, r.LowerBound
	c.out.Optimal, c.out.Complete = r.Optimal && r.Err == nil, r.Complete
	c.take(r.Sets)
}

func (c *leaveOutSolver) solve(forced, pinned graph.Set, nodes int64) graph.CoverResult {
	return graph.Cover(c.hard, graph.CoverOptions{
		Weight: c.weight, Pinned: pinned, Forced: forced, MaxSolutions: MaxLeaveOuts, NodeLimit: nodes, Budget: c.Budget,
	})
}

// take writes out sets with their reasons; an empty set says nothing.
func (c *leaveOutSolver) take(sets [][]int) {
	for _, set := range sets {
		if len(set) > 0 {
			c.out.Sets = append(c.out.Sets, LeaveOutSet{c.reasons(set)})
		}
	}
}
