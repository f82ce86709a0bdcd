package stocking

import "commensal/internal/conflict"

// decide is the answer at the till: hold for a stop or a pairing above the wanted
// level, advise for advice or a pairing of at least moderate level, else proceed. It
// only ever rises with what is found, so a further line never improves it.
func (j *judging) decide() Decision {
	d := decisionOf(j.findings)
	for i := range j.pairs {
		d = max(d, j.decisionFor(j.pairs[i].level))
	}
	return d
}

// speciesDecision is the decision with every disposition left aside.
func (j *judging) speciesDecision() Decision {
	d := j.speciesAhead()
	for i := range j.pairs {
		d = max(d, j.decisionFor(j.pairs[i].ordinaryLevel))
	}
	return d
}

// speciesAhead is what the findings lead to, those about growing fish with every
// disposition left aside.
func (j *judging) speciesAhead() Decision {
	if j.future == nil {
		return decisionOf(j.findings)
	}
	d := j.future.speciesDecision()
	for i := range j.findings {
		if !isAhead(j.findings[i].Code()) {
			d = max(d, decisionOf(j.findings[i:i+1]))
		}
	}
	return d
}

// decisionFor is what one pairing's level alone leads to.
func (j *judging) decisionFor(l conflict.Level) Decision {
	switch {
	case j.above(l):
		return Hold
	case l >= conflict.Moderate:
		return Advise
	}
	return Proceed
}

// decisionOf is what the findings lead to; they are sorted, the gravest first.
func decisionOf(findings []Finding) Decision {
	if len(findings) == 0 {
		return Proceed
	}
	return [...]Decision{Note: Proceed, Advice: Advise, Stop: Hold}[findings[0].Severity]
}
