package placements

import (
	"math"

	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
)

// weighAlone judges every unit alone in every tank. Tanks that are alike are judged once.
func (p *placing) weighAlone() {
	p.alone = make([][]trial, len(p.tanks))
	for t, same := range p.alike {
		if same < t {
			p.alone[t] = p.alone[same]
			continue
		}
		p.alone[t] = make([]trial, len(p.units))
		for u := range p.units {
			if p.ended = p.ended || p.o.Budget.EndedAt(weighShare); p.ended {
				p.alone[t][u] = untried
			} else {
				p.alone[t][u] = p.weigh(t, u)
			}
		}
	}
}

// The parts of the budget that are spent when the weighing ends, and when the search does:
// the rest is for the words of what was found.
const (
	weighShare  = 0.5
	searchShare = 0.7
)

// untried is a trial that the budget did not allow: it is not gone into.
var untried = trial{harm: math.Inf(1), worst: math.Inf(1), decision: stocking.Hold, skipped: true}

// spent reports that the budget has ended, and notes that not all was told.
func (p *placing) spent() bool {
	p.ended = p.ended || p.o.Budget.Ended()
	return p.ended
}

// weigh judges one unit alone in a tank. A tank that is on hold takes nobody.
func (p *placing) weigh(t, u int) trial {
	out := trial{harm: math.Inf(1), decision: stocking.Hold}
	if p.tanks[t].before == stocking.Hold {
		out.worst = math.Inf(1)
		return out
	}
	j := p.joining(t, p.units[u].refs)
	harm, worst := judgeIncoming(j)
	if out.worst = worst; !j.PairsReach(stocking.Advise) || p.watersApart(t, u) {
		return out
	}
	if out.decision = judgeOthers(j); out.decision < stocking.Hold {
		out.advice, out.wish = AdviceHarm*float64(p.newAdvice(t, j)), p.unasked(t, u)
		out.harm = harm + out.advice + out.wish
	}
	if _, out.refused = p.against(t, p.units[u].refs); out.refused {
		out.harm = math.Inf(1)
	}
	return out
}

// watersApart reports residents that cannot share any water with the unit: a stop, found
// sooner than by judging.
func (p *placing) watersApart(t, u int) bool {
	for _, r := range p.units[u].refs {
		if p.tanks[t].base.SharesNoWater(p.ready[r].Species) {
			return true
		}
	}
	return false
}

// judgeIncoming scores the pairings that arrivals come into: their sum, and the worst.
func judgeIncoming(j *stocking.Assessment) (sum, worst float64) {
	j.ScoreSome(func(a, b int) bool { return comesInto(j, a, b) })
	for i := range j.Pairs {
		sum, worst = sum+j.Pairs[i].Score, max(worst, j.Pairs[i].Score)
	}
	return sum, worst
}

// judgeOthers scores the pairings that judgeIncoming left, and judges the rest.
func judgeOthers(j *stocking.Assessment) stocking.Decision {
	j.ScoreMore(func(a, b int) bool { return !comesInto(j, a, b) })
	return j.Finish()
}

// comesInto reports a pairing of which one side arrives.
func comesInto(j *stocking.Assessment, a, b int) bool {
	return j.Lines[a].Incoming || j.Lines[b].Incoming
}

// newAdvice counts the pieces of advice in a judged tank that it did not have before.
func (p *placing) newAdvice(t int, j *stocking.Assessment) (n int) {
	had := p.tanks[t].base.Findings
	for i := range j.Findings {
		f := &j.Findings[i]
		if f.Severity == stocking.Advice && !anyAlike(had, f) {
			n++
		}
	}
	return n
}

// anyAlike reports a finding of the same kind about the same species and property, of
// the same severity.
func anyAlike(list []stocking.Finding, f *stocking.Finding) bool {
	for i := range list {
		o := &list[i]
		if o.Code() == f.Code() && o.Severity == f.Severity && o.Statement.Actor == f.Statement.Actor &&
			len(o.Statement.Words) == len(f.Statement.Words) && (len(f.Statement.Words) == 0 || o.Statement.Words[0] == f.Statement.Words[0]) {
			return true
		}
	}
	return false
}

// sharing is some units in one tank.
type sharing struct {
	tank  int
	units graph.Set
}

// harmOf is the harm of units that share a tank; +Inf where they cannot.
func (p *placing) harmOf(t int, units graph.Set) float64 {
	switch units.Len() {
	case 0:
		return 0
	case 1:
		return p.alone[t][units.Next(0)].harm
	}
	key := sharing{p.alike[t], units}
	if harm, ok := p.tried[key]; ok {
		return harm
	}
	harm := p.judgeTogether(t, units)
	p.tried[key] = harm
	return harm
}

func (p *placing) judgeTogether(t int, units graph.Set) float64 {
	refs := p.refsOf(units)
	if _, refused := p.against(t, refs); refused {
		return math.Inf(1)
	}
	j := p.joining(t, refs)
	harm, _ := judgeIncoming(j)
	if !j.PairsReach(stocking.Advise) || judgeOthers(j) == stocking.Hold {
		return math.Inf(1)
	}
	for u := units.Next(0); u >= 0; u = units.Next(u + 1) {
		harm += p.alone[t][u].advice + p.alone[t][u].wish
	}
	return harm
}

// refsOf are the arrivals of some units.
func (p *placing) refsOf(units graph.Set) (refs []int) {
	for u := units.Next(0); u >= 0; u = units.Next(u + 1) {
		refs = append(refs, p.units[u].refs...)
	}
	return refs
}
