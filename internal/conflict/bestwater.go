package conflict

import (
	"math"

	"commensal/internal/species"
)

// BestWater is the value of one parameter at which the worst-off of several lines is
// least stressed, and that stress (0 well inside every preferred range, 1 at a
// tolerated edge); ok is false where none of them has the range on record. Every
// line's stress falls and then rises along the parameter, so the least worst stress
// is the largest crossing of any rising with any falling ramp (Helly's theorem in
// one dimension). For two lines it is the best point of [SharedWater].
func BestWater(list []*Profile, p species.Parameter) (best, stress float64, ok bool) {
	high, low := math.Inf(1), math.Inf(-1)
	for _, a := range list {
		wa := &a.water[typical][p]
		if !wa.known {
			continue
		}
		ok = true
		high, low = min(high, wa.up.pref), max(low, -wa.down.pref)
		for _, b := range list {
			if wb := &b.water[typical][p]; wb.known {
				if at, s := crossing(&wa.up, &wb.down); s > stress {
					best, stress = at, s
				}
			}
		}
	}
	switch {
	case !ok || stress > 0:
		return best, stress, ok
	case math.IsInf(low, 0):
		return max(high/2, 0), 0, true
	}
	return (low + high) / 2, 0, true
}
