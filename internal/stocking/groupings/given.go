package groupings

import (
	"math"

	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
)

// overGiven splits the list over given tanks. Tanks that are alike in everything are
// tried once.
func (sp *split) overGiven(tanks []stocking.Tank, o Options) {
	alike, arenas := sp.candidates(tanks)
	single := sp.singles(arenas)
	apart := sp.apartEverywhere(arenas, single)
	fits := func(bin int, set graph.Set) bool { return arenas[alike[bin]].holds(set) }
	cost := func(bin, u int) float64 {
		if alone := single[alike[bin]]; alone != nil && alone[u].Decision < stocking.Hold {
			j := alone[u]
			return float64(j.AdviceCount())
		}
		return math.Inf(1)
	}
	r := graph.Assign(len(sp.units), len(tanks), apart, fits, cost, graph.AssignOptions{
		Weight: sp.weights(), Alike: alike, NodeLimit: o.NodeLimit, Budget: sp.Budget,
	})
	sp.out.Optimal, sp.out.Nodes = r.Optimal && r.Err == nil, r.Nodes
	sp.out.Lost, sp.out.LostBound = r.Lost, r.LowerLost
	if sp.ended {
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
			g := sp.grouping(&tanks[bin], sp.linesOf(held[bin]))
			g.Tank = bin
			sp.out.Groups = append(sp.out.Groups, g)
		}
	}
	for _, u := range r.Unassigned {
		sp.out.Unplaced = append(sp.out.Unplaced, sp.unplaced(u, tanks, alike, single, held))
	}
}

// candidates makes one arena for each kind of tank, and numbers the tanks by it.
func (sp *split) candidates(tanks []stocking.Tank) (alike []int, arenas []*candidateTank) {
	seen := make(map[stocking.TankKey]int)
	alike = make([]int, len(tanks))
	for i := range tanks {
		key := stocking.KeyOf(&tanks[i])
		k, ok := seen[key]
		if !ok {
			k = len(arenas)
			seen[key] = k
			arenas = append(arenas, sp.candidate(&tanks[i]))
		}
		alike[i] = k
	}
	return alike, arenas
}

// singles judges every unit alone in every kind of tank, as far as the budget goes; the kinds
// that were not tried have none. The first is tried in any case.
func (sp *split) singles(arenas []*candidateTank) [][]*stocking.Assessment {
	out := make([][]*stocking.Assessment, len(arenas))
	for k, a := range arenas {
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
func (sp *split) apartEverywhere(arenas []*candidateTank, single [][]*stocking.Assessment) *graph.Graph {
	g := graph.New(len(sp.units))
	if len(arenas) > edgeTanks {
		return g
	}
	for u := range sp.units {
		for v := range u {
			together := false
			for k := 0; k < len(arenas) && !together && single[k] != nil; k++ {
				together = single[k][u].Decision < stocking.Hold && single[k][v].Decision < stocking.Hold && !arenas[k].apart(u, v)
			}
			if !together {
				g.AddEdge(u, v)
			}
		}
	}
	return g
}
