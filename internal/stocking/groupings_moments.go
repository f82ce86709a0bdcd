package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking/graph"
)

// A group must be free of conflict today and in the months in which a pairing that
// rises is a hold (see [future.soon]); these are its moments: 0 is the list as it is
// told, the others are the coarse months up to HoldWithin.
const numMoments = 6

// soonMonths are the months of moments 1 and up.
var soonMonths = [numMoments - 1]int(coarse[:numMoments-1])

// grounds is what each line defends at one moment, in cm².
type grounds []float64

// beside is the ground that some lines but two defend.
func (g grounds) beside(lines graph.Set, x, y int) (sum float64) {
	for i := lines.Next(0); i >= 0; i = lines.Next(i + 1) {
		if i != x && i != y {
			sum += g[i]
		}
	}
	return sum
}

// foreseeGround reads what the lines defend at every moment.
func (sp *split) foreseeGround() {
	sp.foresee() // no pairings yet: only how the lines grow
	if sp.future != nil {
		for i := range sp.future.growers {
			sp.future.growers[i].at[usual] = make([]*conflict.Profile, Beyond+1) // shared by every part
		}
	}
	for k := range sp.grounds {
		sp.grounds[k] = make(grounds, len(sp.lines))
		for i := range sp.lines {
			sp.grounds[k][i] = sp.lines[i].ground
			if k > 0 && sp.future != nil {
				sp.grounds[k][i] = sp.future.groundOf(i, soonMonths[k-1], usual)
			}
		}
	}
}

// moments is the number of moments that matter for a pairing: later ones only where one
// of the two grows.
func (sp *split) moments(x, y int) int {
	if sp.future != nil && sp.future.changes(&pair{first: x, second: y}) {
		return numMoments
	}
	return 1
}

// profileAt is a line at a moment.
func (sp *split) profileAt(moment, line int) *conflict.Profile {
	if moment == 0 {
		return sp.lines[line].profile
	}
	return sp.future.profile(line, soonMonths[moment-1], usual)
}

// judgeOnly judges some lines in a tank as [judging.judge] does, with the growing fish
// prepared once for the whole list.
func (sp *split) judgeOnly(tank *Tank, lines []int) *judging {
	j := sp.only(tank, lines)
	j.judgePairs()
	j.apart = j.waterApart()
	j.load = j.loadOf()
	if sp.future != nil {
		f := &future{judging: j, growers: make([]grower, len(lines))}
		for k, i := range lines {
			f.growers[k] = sp.future.growers[i]
		}
		j.future = f
		f.lookAhead()
	}
	j.findings = j.find()
	j.decision = j.decide()
	return j
}
