package stocking

import (
	"commensal/internal/conflict"
)

// Decide is the answer at the till: hold for a stop or a pairing above the wanted
// level, advise for advice or a pairing of at least moderate level, else proceed. It
// only ever rises with what is found, so a further line never improves it.
func (j *Assessment) Decide() Decision {
	j.Decision, j.TankDecision = DecisionOf(j.Findings), Proceed
	for i := range j.Findings {
		j.TankDecision = max(j.TankDecision, j.Findings[i].Severity.decision())
	}
	for i := range j.Pairs {
		j.Decision = max(j.Decision, j.DecisionOn(&j.Pairs[i]))
		j.TankDecision = max(j.TankDecision, j.DecisionFor(j.Pairs[i].Level))
	}
	return j.Decision
}

// DecisionOn is what one pairing leads to. One that stood among the residents before never holds
// those that join.
func (j *Assessment) DecisionOn(p *Pair) Decision {
	return discounted(j.DecisionFor(p.Level), p.Existing)
}

// DecisionOnListed is [Assessment.DecisionOn] for a pairing with words.
func (j *Assessment) DecisionOnListed(p *ListPairing) Decision {
	if p.Meant {
		return Proceed
	}
	return discounted(j.DecisionFor(p.Score.Level), p.Existing)
}

// discounted is a decision that stood before anyone joined as it counts for those that join: a
// hold is worth a word of advice, and what was advised before is known.
func discounted(d Decision, existing bool) Decision {
	if existing && d > Proceed {
		return d - 1
	}
	return d
}

// speciesDecision is the decision with every disposition left aside.
func (j *Assessment) speciesDecision() Decision {
	d := j.speciesAhead()
	for i := range j.Pairs {
		d = max(d, discounted(j.DecisionFor(j.Pairs[i].SpeciesLevel), j.Pairs[i].Existing))
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

// DecisionOf is what the findings lead to.
func DecisionOf(findings []Finding) (d Decision) {
	for i := range findings {
		d = max(d, discounted(findings[i].Severity.decision(), findings[i].Existing))
		if findings[i].Postpones {
			return Hold
		}
	}
	return d
}

// decision is what a finding of a severity leads to.
func (s Severity) decision() Decision {
	return [...]Decision{Note: Proceed, Advice: Advise, Stop: Hold}[s]
}
