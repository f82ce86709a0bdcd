package stocking

import (
	"commensal/internal/conflict"
)

// ShareFuture prepares the list's growing lines so that judging parts of it does not read their
// fish anew. It scores no pairing.
func (j *Assessment) ShareFuture() {
	j.foresee()
	if j.future == nil {
		return
	}
	for i := range j.future.growers {
		j.future.growers[i].at[usual] = make([]*conflict.Profile, Beyond+1)
	}
}

// Growing reports whether a line of a list that shares its future grows.
func (j *Assessment) Growing(line int) bool { return j.future != nil && j.future.growers[line].growing }

// ProfileIn is a line of a list that shares its future in a month at the usual pace.
func (j *Assessment) ProfileIn(month, line int) *conflict.Profile {
	return j.future.profile(line, month, usual)
}

// GroundIn is the ground in cm² that a line of a list that shares its future defends in a
// month at the usual pace.
func (j *Assessment) GroundIn(month, line int) float64 {
	if j.future == nil {
		return j.Lines[line].Ground
	}
	return j.future.groundOf(line, month, usual)
}

// JudgePart judges some lines in a tank as [Assessment.Judge] would, with the growing fish of
// a list that shares its future.
func (j *Assessment) JudgePart(tank *Tank, lines []int) *Assessment {
	p := j.Part(tank, lines)
	p.judgePairs()
	p.apart = p.waterApart()
	p.Load = p.loadOf()
	if j.future != nil {
		f := &future{Assessment: p, growers: make([]grower, len(lines))}
		for k, i := range lines {
			f.growers[k] = j.future.growers[i]
		}
		p.future = f
		f.lookAhead()
	}
	p.Budget.Spend(int64(UnitsJudging + UnitsFinding*len(p.Lines)))
	p.Findings = p.find()
	p.Decide()
	return p
}

// SoonMonths are the months in which a pairing that rises above the wanted level is a stop,
// see [future.soon].
func SoonMonths() []int {
	for n, month := range coarse {
		if month == HoldWithin {
			return coarse[:n+1]
		}
	}
	return nil
}

// Grows reports whether a judged list has lines that grow.
func (j *Assessment) Grows() bool { return j.future != nil }
