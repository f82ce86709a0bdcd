package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking/graph"
)

// cutter answers what to leave out of one judged list.
//
// Some conflicts stand whatever else is in the tank: they are the edges of a graph,
// or force a line out on their own. Others exist only because the rest of the list
// takes up ground or loads the water: those are soft. Without soft conflicts the answer
// is a least weighted vertex cover; with them it is searched for over covers.
type cutter struct {
	*judging
	hard           *graph.Graph
	forced, pinned graph.Set
	weight         []float64
	soft           []pair // pairings above the wanted level, now or soon, only beside the others
	heavy          bool   // the load of the whole list is a stop
	burden         burden // meaningful when heavy
	out            LeaveOut
}

// leaveOut finds the least costly lines to leave out of a list judged in full.
func (j *judging) leaveOut() LeaveOut {
	c := &cutter{judging: j}
	if !c.gather() {
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
func (c *cutter) gather() bool {
	n := len(c.lines)
	c.hard, c.weight = graph.New(n), make([]float64, n)
	for i := range c.lines {
		c.weight[i] = max(c.lines[i].Weight, 1e-6)
		if c.lines[i].Keep {
			c.pinned.Add(i)
		}
	}
	found := c.gatherStops()
	for _, p := range c.pairs {
		apart := p.first != p.second && len(c.apart) > 0 && disjoint(c.lines[p.first].species, c.lines[p.second].species)
		if !apart && !c.above(p.level) && !c.future.soon(&p) {
			continue
		}
		found = true
		if !apart && !c.above(c.levelWith(p, 0)) && !c.soonAlone(p) {
			c.soft = append(c.soft, p)
			continue
		}
		c.addHard(p)
	}
	return found
}

// gatherStops sorts the findings that are a stop: those of a line alone force it out.
func (c *cutter) gatherStops() (found bool) {
	for i := range c.findings {
		f := &c.findings[i]
		if f.Severity != Stop {
			break
		}
		switch {
		case f.Code() == NoSharedWater || isAhead(f.Code()): // its pairings are edges
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
func (c *cutter) addHard(p pair) {
	switch {
	case c.pinned.Has(p.first) && c.pinned.Has(p.second):
		c.out.Pinned = append(c.out.Pinned, PinnedConflict{p.first, p.second, c.pairReason(p)})
	case p.first == p.second:
		c.forced.Add(p.first)
	default:
		c.hard.AddEdge(p.first, p.second)
	}
}

// levelWith is a pairing's level when all other lines together defend so much ground.
func (c *cutter) levelWith(p pair, others float64) conflict.Level {
	cond := c.conditions(p.first, p.second)
	cond.OthersGroundCM2 = max(0, others)
	return conflict.LevelOf(c.book.Model.Value(c.lines[p.first].profile, c.lines[p.second].profile, &cond))
}

// cover answers a list without soft conflicts.
func (c *cutter) cover() {
	r := c.solve(c.forced, c.pinned, graph.DefaultNodeLimit)
	c.out.Nodes, c.out.Cost, c.out.Bound = r.Nodes, r.Cost, r.LowerBound
	c.out.Optimal, c.out.Complete = r.Optimal && r.Err == nil, r.Complete
	c.take(r.Sets)
}

func (c *cutter) solve(forced, pinned graph.Set, nodes int64) graph.CoverResult {
	return graph.Cover(c.hard, graph.CoverOptions{
		Weight: c.weight, Pinned: pinned, Forced: forced, MaxSolutions: MaxLeaveOuts, NodeLimit: nodes,
	})
}

// take writes out sets with their reasons; an empty set says nothing.
func (c *cutter) take(sets [][]int) {
	for _, set := range sets {
		if len(set) > 0 {
			c.out.Sets = append(c.out.Sets, LeaveOutSet{c.reasons(set)})
		}
	}
}
