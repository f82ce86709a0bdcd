package stocking

import (
	"slices"

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
	return discounted(j.DecisionFor(p.Counts()), p.Existing)
}

// Counts is the level of a pairing with words as it counts, see [Assessment.LevelFor].
func (p *ListPairing) Counts() conflict.Level {
	switch {
	case p.Meant, p.Settled:
		return conflict.Low
	case p.Borne:
		return conflict.Moderate
	}
	return p.Score.Level
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
	if !slices.ContainsFunc(j.Lines, func(r Resident) bool { return r.Ordinary != r.Profile }) {
		return j.Decision // none was observed
	}
	d := j.speciesAhead()
	for i := range j.Pairs {
		p := &j.Pairs[i]
		existing := p.Existing
		if j.HasDisposition(p.First, p.Second) {
			existing = p.SpeciesLevel > conflict.Low && j.among(p.First, p.Second) && j.ordinaryBefore(p) >= p.SpeciesLevel
		}
		d = max(d, discounted(j.DecisionFor(p.SpeciesLevel), existing))
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

// worseBy is the share by which incoming fish must raise what stands against the whole tank, such
// as crowding, to be held for it: a snail more in a full tank changes nothing. Common practice.
const worseBy = 0.05

// joining reports whether fish are about to join others, so that what already stands among the
// residents is not theirs to answer for.
func (j *Assessment) joining() bool {
	if j.Together {
		return false
	}
	some, all := false, true
	for i := range j.Lines {
		some, all = some || j.Lines[i].Incoming, all && j.Lines[i].Incoming
	}
	return some && !all
}

// stands reports whether a pairing stood among the residents before: neither side joins, and what
// joins does not raise its level by the ground it defends.
func (j *Assessment) stands(a, b int, level conflict.Level) bool {
	if level == conflict.Low || !j.among(a, b) {
		return false
	}
	c := j.before(a, b)
	return conflict.LevelOf(j.valueOf(&j.Lines[a], &j.Lines[b], &c)) >= level
}

// ordinaryBefore is the level of a pairing before anyone joins, with every disposition left aside.
func (j *Assessment) ordinaryBefore(p *Pair) conflict.Level {
	c := j.before(p.First, p.Second)
	return conflict.LevelOf(j.Book.Model.Value(j.Lines[p.First].Ordinary, j.Lines[p.Second].Ordinary, &c))
}

// among reports a pairing among the residents of a tank that others join.
func (j *Assessment) among(a, b int) bool {
	return !j.Lines[a].Incoming && !j.Lines[b].Incoming && j.joining()
}

// before are the conditions of a pairing before anyone joins.
func (j *Assessment) before(a, b int) conflict.Conditions {
	c := j.Conditions(a, b)
	c.OthersGroundCM2 = max(0, c.OthersGroundCM2-j.incomingGround())
	return c
}

func (j *Assessment) incomingGround() (ground float64) {
	for i := range j.Lines {
		if j.Lines[i].Incoming {
			ground += j.Lines[i].Ground
		}
	}
	return ground
}

// markExisting marks the findings that stood before anyone joins: about residents alone, or about
// the tank as a whole and hardly worse for what joins.
func (j *Assessment) markExisting() {
	if !j.joining() {
		return
	}
	var before *Assessment
	for i := range j.Findings {
		f := &j.Findings[i]
		switch {
		case f.Other != nil || slices.ContainsFunc(f.Lines, func(l int) bool { return j.Lines[l].Incoming }):
		case len(f.Lines) > 0:
			f.Existing = true
		default:
			if before == nil {
				before = j.residentsAlone()
			}
			before.compare(f)
		}
	}
}

// residentsAlone is the tank before anyone joins, with its findings.
func (j *Assessment) residentsAlone() *Assessment {
	s := Stock{Tank: j.Tank, Wanted: j.Wanted, Region: j.Region}
	for i := range j.Lines {
		if !j.Lines[i].Incoming {
			s.Lines = append(s.Lines, j.Lines[i].Line)
		}
	}
	before := NewAssessmentFrom(j.Book, &s, j)
	before.apart, before.Load = before.waterApart(), before.loadOf()
	before.Findings = before.find()
	return before
}

// compare sets a finding about the whole tank beside the one that stood before: existing where it is
// hardly worse, and worse where a tank that was too full already is filled further.
func (j *Assessment) compare(f *Finding) {
	for i := range j.Findings {
		b := &j.Findings[i]
		if b.Code() != f.Code() || b.Severity < f.Severity || !slices.Equal(b.Statement.Words, f.Statement.Words) {
			continue
		}
		switch {
		case measure(f) <= measure(b)*(1+worseBy):
			f.Existing = true
		case tooFull(f.Code()):
			f.Postpones = true
		}
		return
	}
}

// tooFull reports a code that says there are too many fish for the water.
func tooFull(c Code) bool {
	switch c {
	case TankCrowded, ZoneCrowded, LoadHeavy, OxygenThin:
		return true
	}
	return false
}

// measure is how bad it is, from the evidence that names it; 0 where no figure does. More is worse.
func measure(f *Finding) float64 {
	for _, e := range f.Statement.Evidence {
		switch e.Name {
		case "ground", "covered", "share_needed", "tan_rise", "rise", "demand":
			return e.Value
		}
	}
	return 0
}
