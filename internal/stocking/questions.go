package stocking

// TooSmall reports whether the tank is below the customary minimum of any line.
func (j *Assessment) TooSmall() bool {
	f := finder{Assessment: j}
	f.kinds(f.tankSize)
	return len(f.out) > 0
}

// Crowded reports a finding about crowding.
func (j *Assessment) Crowded() bool {
	for i := range j.Findings {
		switch j.Findings[i].Code() {
		case GroundCrowded, ZoneCrowded, TankCrowded:
			return true
		}
	}
	return false
}

// AdviceCount is the number of pieces of advice in a judging: of splits that place as much,
// the one with the least advice about each line alone in its tank is taken.
func (j *Assessment) AdviceCount() (n int) {
	for i := range j.Findings {
		if j.Findings[i].Severity == Advice {
			n++
		}
	}
	for i := range j.Pairs {
		if j.DecisionFor(j.Pairs[i].Level) == Advise {
			n++
		}
	}
	return n
}

// Overloaded reports whether no weekly change would hold the nitrate of a list.
func (j *Assessment) Overloaded() bool {
	if j.Tank.Volume() <= 0 {
		return false
	}
	l := j.loadOf()
	return l != nil && l.Nitrate != nil && !l.Nitrate.Holds[1]
}

// PairsReach reports whether no judged pairing is above a decision.
func (j *Assessment) PairsReach(target Decision) bool {
	for i := range j.Pairs {
		if j.DecisionFor(j.Pairs[i].Level) > target {
			return false
		}
	}
	return true
}
