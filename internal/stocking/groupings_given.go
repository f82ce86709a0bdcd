package stocking

import (
	"math"

	"commensal/internal/stocking/graph"
)

// overGiven splits the list over given tanks. Tanks that are alike in everything are
// tried once.
func (sp *split) overGiven(tanks []Tank, o GroupingOptions) {
	alike, arenas := sp.arenas(tanks)
	single := sp.singles(arenas)
	apart := sp.apartEverywhere(arenas, single)
	fits := func(bin int, set graph.Set) bool { return arenas[alike[bin]].holds(set) }
	cost := func(bin, u int) float64 {
		if j := single[alike[bin]][u]; j.decision < Hold {
			return float64(j.advice())
		}
		return math.Inf(1)
	}
	r := graph.Assign(len(sp.units), len(tanks), apart, fits, cost, graph.AssignOptions{
		Weight: sp.weights(), Alike: alike, NodeLimit: o.NodeLimit,
	})
	sp.out.Optimal, sp.out.Nodes = r.Optimal && r.Err == nil, r.Nodes
	sp.out.Lost, sp.out.LostBound = r.Lost, r.LowerLost
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

// advice is the number of pieces of advice in a judging: of splits that place as much,
// the one with the least advice about each line alone in its tank is taken.
func (j *judging) advice() (n int) {
	for i := range j.findings {
		if j.findings[i].Severity == Advice {
			n++
		}
	}
	for i := range j.pairs {
		if j.decisionFor(j.pairs[i].level) == Advise {
			n++
		}
	}
	return n
}

// arenas makes one arena for each kind of tank, and numbers the tanks by it.
func (sp *split) arenas(tanks []Tank) (alike []int, arenas []*arena) {
	seen := make(map[tankKey]int)
	alike = make([]int, len(tanks))
	for i := range tanks {
		key := keyOfTank(&tanks[i])
		k, ok := seen[key]
		if !ok {
			k = len(arenas)
			seen[key] = k
			arenas = append(arenas, sp.arenaIn(&tanks[i]))
		}
		alike[i] = k
	}
	return alike, arenas
}

// tankKey is a tank without pointers: equal keys are tanks alike in everything.
type tankKey struct {
	tank                                Tank
	change, source                      float64
	hasChange, hasSource                bool
	lid, mature, planted                bool
	lidKnown, matureKnown, plantedKnown bool
}

func keyOfTank(t *Tank) tankKey {
	k := tankKey{tank: *t}
	k.change, k.hasChange = deref(t.WeeklyChange)
	k.source, k.hasSource = deref(t.SourceNitrate)
	k.lid, k.lidKnown = deref(t.Lid)
	k.mature, k.matureKnown = deref(t.FilterMature)
	k.planted, k.plantedKnown = deref(t.Planted)
	k.tank.WeeklyChange, k.tank.SourceNitrate, k.tank.Lid, k.tank.FilterMature, k.tank.Planted = nil, nil, nil, nil, nil
	return k
}

func deref[T any](p *T) (v T, ok bool) {
	if p == nil {
		return v, false
	}
	return *p, true
}

// singles judges every unit alone in every kind of tank.
func (sp *split) singles(arenas []*arena) [][]*judging {
	out := make([][]*judging, len(arenas))
	for k, a := range arenas {
		out[k] = make([]*judging, len(sp.units))
		for u := range sp.units {
			out[k][u] = a.alone(u)
		}
	}
	return out
}

// edgeArenas is the number of kinds of tanks up to which pairs that can share none of
// them are told to the solver beforehand: a help that costs more than it saves where the
// tanks are very many.
const edgeArenas = 16

// apartEverywhere joins units that can share none of the tanks in which both can live.
func (sp *split) apartEverywhere(arenas []*arena, single [][]*judging) *graph.Graph {
	g := graph.New(len(sp.units))
	if len(arenas) > edgeArenas {
		return g
	}
	for u := range sp.units {
		for v := range u {
			together := false
			for k := 0; k < len(arenas) && !together; k++ {
				together = single[k][u].decision < Hold && single[k][v].decision < Hold && !arenas[k].apart(u, v)
			}
			if !together {
				g.AddEdge(u, v)
			}
		}
	}
	return g
}
