package stocking

import (
	"commensal/internal/conflict"
)

// Decide is the answer at the till: hold for a stop or a pairing above the wanted
// level, advise for advice or a pairing of at least moderate level, else proceed. It
// only ever rises with what is found, so a further line never improves it.
func (j *Assessment) Decide() Decision {
	j.Decision = DecisionOf(j.Findings)
	for i := range j.Pairs {
		j.Decision = max(j.Decision, j.DecisionFor(j.Pairs[i].Level))
	}
	return j.Decision
}

// speciesDecision is the decision with every disposition left aside.
func (j *Assessment) speciesDecision() Decision {
	d := j.speciesAhead()
	for i := range j.Pairs {
		d = max(d, j.DecisionFor(j.Pairs[i].SpeciesLevel))
	}
	return d
}

// speciesAhead is what the findings lead to, those about growing fish with every
// disposition left aside.
func (j *Assessment) speciesAhead() Decision {
	if j.future == nil {
		return DecisionOf(j.Findings)
	}
	d := j.future.speciesDecision()
	for i := range j.Findings {
		if !IsAhead(j.Findings[i].Code()) {
			d = max(d, DecisionOf(j.Findings[i:i+1]))
		}
	}
	return d
}

// DecisionFor is what one pairing's level alone leads to.
func (j *Assessment) DecisionFor(l conflict.Level) Decision {
	switch {
	case j.Above(l):
		return Hold
	case l >= conflict.Moderate:
		return Advise
	}
	return Proceed
}

// DecisionOf is what the findings lead to; they are sorted, the gravest first.
func DecisionOf(findings []Finding) Decision {
	if len(findings) == 0 {
		return Proceed
	}
	return [...]Decision{Note: Proceed, Advice: Advise, Stop: Hold}[findings[0].Severity]
}
