package groupings

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
)

// A group must be free of conflict today and in the months in which a pairing that
// rises is a hold (see [future.soon]); these are its moments: 0 is the list as it is
// told, the others are the coarse months up to HoldWithin.
const numMoments = 6

// soon are the months of moments 1 and up.
var soon = [numMoments - 1]int(stocking.SoonMonths())

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
	sp.ShareFuture()
	for k := range sp.grounds {
		sp.grounds[k] = make(grounds, len(sp.Lines))
		for i := range sp.Lines {
			sp.grounds[k][i] = sp.Lines[i].Ground
			if k > 0 {
				sp.grounds[k][i] = sp.GroundIn(soon[k-1], i)
			}
		}
	}
}

// moments is the number of moments that matter for a pairing: later ones only where one
// of the two grows.
func (sp *split) moments(x, y int) int {
	if sp.Growing(x) || sp.Growing(y) {
		return numMoments
	}
	return 1
}

// profileAt is a line at a moment.
func (sp *split) profileAt(moment, line int) *conflict.Profile {
	if moment == 0 {
		return sp.Lines[line].Profile
	}
	return sp.ProfileIn(soon[moment-1], line)
}
