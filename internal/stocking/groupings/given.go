package groupings

import (
	"math"

	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
)

// overGiven splits the list over given tanks. Tanks that are alike in everything are
// tried once.
func (sp *split) overGiven(tanks []stocking.Tank, o Options) {
	alike, candidates := sp.candidates(tanks)
	single := sp.singles(candidates)
	apart := sp.apartEverywhere(candidates, single)
	cost := func(bin, u int) float64 {
		if alone := single[alike[bin]]; alone != nil && alone[u].Decision < stocking.Hold {
			j := alone[u]
			return float64(j.AdviceCount())
		}
		return math.Inf(1)
	}
	assign := func(holds func(a *candidateTank, set graph.Set) bool) graph.AssignResult {
		fits := func(bin int, set graph.Set) bool { return holds(candidates[alike[bin]], set) }
		return graph.Assign(len(sp.units), len(tanks), apart, fits, cost, graph.AssignOptions{
			Weight: sp.weights(), Alike: alike, NodeLimit: o.NodeLimit, Budget: sp.Budget,
		})
	}
	r := assign((*candidateTank).holds)
	sp.out.Optimal, sp.out.Nodes = r.Optimal && r.Err == nil, r.Nodes
	sp.out.Lost, sp.out.LostBound = r.Lost, r.LowerLost
	if sp.kindest != nil {
		// A part of a group that fits may not fit: the kindest ground alone bounds the loss.
		bound := assign(func(a *candidateTank, set graph.Set) bool {
			return set.Len() == 1 || a.kinder.holdsWithGround(set)
		})
		sp.out.LostBound, sp.out.Nodes = bound.LowerLost, r.Nodes+bound.Nodes
		sp.out.Optimal = r.Err == nil && bound.Err == nil && bound.Optimal && r.Lost == bound.Lost && r.Cost == bound.Cost
	}
	if sp.cutShort() {
		sp.out.Optimal, sp.out.LostBound = false, 0
	}
	held := make([]graph.Set, len(tanks))
	for u, bin := range r.Bin {
		if bin >= 0 {
			held[bin].Add(u)
		}
	}
	for bin := range tanks {
		if !held[bin].Empty() {
			lines := sp.linesOf(held[bin])
			g := sp.grouping(sp.actual(&tanks[bin], lines), lines)
			g.Tank = bin
			sp.out.Groups = append(sp.out.Groups, g)
		}
	}
	for _, u := range r.Unassigned {
		sp.out.Unplaced = append(sp.out.Unplaced, sp.unplaced(u, tanks, alike, single, held))
	}
}

// candidates makes one candidate for each kind of tank, and numbers the tanks by it.
func (sp *split) candidates(tanks []stocking.Tank) (alike []int, candidates []*candidateTank) {
	seen := make(map[stocking.TankKey]int)
	alike = make([]int, len(tanks))
	for i := range tanks {
		key := stocking.KeyOf(&tanks[i])
		k, ok := seen[key]
		if !ok {
			k = len(candidates)
			seen[key] = k
			candidates = append(candidates, sp.candidate(&tanks[i]))
		}
		alike[i] = k
	}
	return alike, candidates
}

// singles judges every unit alone in every kind of tank, as far as the budget goes; the kinds
// that were not tried have none. The first is tried in any case.
func (sp *split) singles(candidates []*candidateTank) [][]*stocking.Assessment {
	out := make([][]*stocking.Assessment, len(candidates))
	for k, a := range candidates {
		if k > 0 && sp.spentOn(singleShare) {
			break
		}
		out[k] = make([]*stocking.Assessment, len(sp.units))
		for u := range sp.units {
			if out[k][u] = a.alone(u); sp.Budget.Stopped() {
				out[k][u].Decision = stocking.Hold
			}
		}
	}
	return out
}

// edgeTanks is the number of kinds of tanks up to which pairs that can share none of
// them are told to the solver beforehand: a help that costs more than it saves where the
// tanks are very many.
const edgeTanks = 16

// apartEverywhere joins units that can share none of the tanks in which both can live.
func (sp *split) apartEverywhere(candidates []*candidateTank, single [][]*stocking.Assessment) *graph.Graph {
	g := graph.New(len(sp.units))
	if len(candidates) > edgeTanks {
		return g
	}
	for u := range sp.units {
		for v := range u {
			together := false
			for k := 0; k < len(candidates) && !together && single[k] != nil; k++ {
				together = single[k][u].Decision < stocking.Hold && single[k][v].Decision < stocking.Hold && !candidates[k].apart(u, v)
			}
			if !together {
				g.AddEdge(u, v)
			}
		}
	}
	return g
}
