package stocking

import (
	"math"

	"commensal/internal/stocking/graph"
)

// weighAlone judges every unit alone in every tank. Tanks that are alike are judged once.
func (p *placer) weighAlone() {
	p.alone = make([][]trialIn, len(p.berths))
	for t, same := range p.alike {
		if same < t {
			p.alone[t] = p.alone[same]
			continue
		}
		p.alone[t] = make([]trialIn, len(p.units))
		for u := range p.units {
			p.alone[t][u] = p.weigh(t, u)
		}
	}
}

// weigh judges one unit alone in a tank. A tank that is on hold takes nobody.
func (p *placer) weigh(t, u int) trialIn {
	out := trialIn{harm: math.Inf(1), decision: Hold}
	if p.berths[t].before == Hold {
		out.worst = math.Inf(1)
		return out
	}
	j := p.joining(t, p.units[u].refs)
	harm, worst := j.judgeIncoming()
	if out.worst = worst; !j.pairsReach(Advise) || p.watersApart(t, u) {
		return out
	}
	if out.decision = j.judgeOthers(); out.decision < Hold {
		out.advice = AdviceHarm * float64(p.newAdvice(t, j))
		out.harm = harm + out.advice
	}
	return out
}

// watersApart reports residents that cannot share any water with the unit: a stop, found
// sooner than by judging.
func (p *placer) watersApart(t, u int) bool {
	for _, r := range p.units[u].refs {
		if p.berths[t].base.disjointFrom(p.ready[r].species) {
			return true
		}
	}
	return false
}

// judgeIncoming scores the pairings that arrivals come into: their sum, and the worst.
func (j *judging) judgeIncoming() (sum, worst float64) {
	j.judgeSome(j.comesInto)
	for i := range j.pairs {
		sum, worst = sum+j.pairs[i].value, max(worst, j.pairs[i].value)
	}
	return sum, worst
}

// judgeOthers scores the pairings that judgeIncoming left, and judges the rest.
func (j *judging) judgeOthers() Decision {
	j.addSome(func(a, b int) bool { return !j.comesInto(a, b) })
	return j.rest()
}

// comesInto reports a pairing of which one side arrives.
func (j *judging) comesInto(a, b int) bool { return j.lines[a].Incoming || j.lines[b].Incoming }

// newAdvice counts the pieces of advice in a judged tank that it did not have before.
func (p *placer) newAdvice(t int, j *judging) (n int) {
	had := p.berths[t].base.findings
	for i := range j.findings {
		f := &j.findings[i]
		if f.Severity == Advice && !anyAlike(had, f) {
			n++
		}
	}
	return n
}

// anyAlike reports a finding of the same kind about the same species and property, of
// the same severity.
func anyAlike(list []Finding, f *Finding) bool {
	for i := range list {
		o := &list[i]
		if o.Code() == f.Code() && o.Severity == f.Severity && o.Statement.Actor == f.Statement.Actor &&
			len(o.Statement.Words) == len(f.Statement.Words) && (len(f.Statement.Words) == 0 || o.Statement.Words[0] == f.Statement.Words[0]) {
			return true
		}
	}
	return false
}

// stay is some units in one tank.
type stay struct {
	tank  int
	units graph.Set
}

// harmOf is the harm of units that share a tank; +Inf where they cannot.
func (p *placer) harmOf(t int, units graph.Set) float64 {
	switch units.Len() {
	case 0:
		return 0
	case 1:
		return p.alone[t][units.Next(0)].harm
	}
	key := stay{p.alike[t], units}
	if harm, ok := p.tried[key]; ok {
		return harm
	}
	harm := p.judgeTogether(t, units)
	p.tried[key] = harm
	return harm
}

func (p *placer) judgeTogether(t int, units graph.Set) float64 {
	j := p.joining(t, p.refsOf(units))
	harm, _ := j.judgeIncoming()
	if !j.pairsReach(Advise) || j.judgeOthers() == Hold {
		return math.Inf(1)
	}
	for u := units.Next(0); u >= 0; u = units.Next(u + 1) {
		harm += p.alone[t][u].advice
	}
	return harm
}

// refsOf are the arrivals of some units.
func (p *placer) refsOf(units graph.Set) (refs []int) {
	for u := units.Next(0); u >= 0; u = units.Next(u + 1) {
		refs = append(refs, p.units[u].refs...)
	}
	return refs
}
