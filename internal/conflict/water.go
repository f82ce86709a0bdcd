package conflict

import (
	"math"

	"commensal/internal/species"
)

// ramp is one side of a water range: no stress up to pref, 1 at tol, and beyond it one
// more for every scale unit. Distances are measured away from the range.
type ramp struct{ pref, tol, scale float64 }

// at is the stress at a position along the ramp's own direction.
func (r *ramp) at(x float64) float64 {
	switch {
	case x <= r.pref:
		return 0
	case x <= r.tol:
		return (x - r.pref) / (r.tol - r.pref)
	}
	return 1 + (x-r.tol)/r.scale
}

// accepts is a species' water range for one parameter, made ready: a ramp upwards and
// one downwards (in mirrored coordinates), each moved inwards by the swing of an
// ordinary tank.
type accepts struct {
	up, down ramp // down works on −x
	known    bool
}

// acceptsAt reads a water range at one end of the uncertainty of its edges: wider
// at the kinder end, narrower at the harsher. The strip between preferred and
// tolerated edge has at least its minimal width.
func acceptsAt(w species.WaterRange, p species.Parameter, e end) accepts {
	if !w.Known() {
		return accepts{}
	}
	inwards := waterSwing[p] - waterEdge[p]*float64(int(typical)-int(e))
	side := func(pref, tol float64) ramp {
		return ramp{pref - inwards, max(tol, pref+minMargin[p]) - inwards, waterScale[p]}
	}
	a := accepts{up: side(w.Preferred.High, w.Tolerated.High), down: side(-w.Preferred.Low, -w.Tolerated.Low), known: true}
	if floor := physicalFloor[p]; w.Tolerated.Low <= floor {
		// Softer or fresher than nothing there is not: no limit on that side, and the
		// softest water of all is never too much.
		a.down = ramp{math.Inf(1), math.Inf(1), 1}
		a.up.pref = max(a.up.pref, floor)
		a.up.tol = max(a.up.tol, a.up.pref+minMargin[p])
	}
	return a
}

// physicalFloor is the least value a parameter can have.
var physicalFloor = [species.NumParameters]float64{math.Inf(-1), math.Inf(-1), 0, 0}

// stress is how hard x is on the species, swings included: 0 well inside the preferred
// range, 1 where the swing reaches the tolerated edge.
func (w *accepts) stress(x float64) float64 { return max(w.up.at(x), w.down.at(-x)) }

// compromise is the water value at which the worse-off of the two is least
// stressed, and that stress. Stress from above rises with x and stress from below
// falls, so the least worst stress is the largest crossing of a rising with a falling
// ramp; where none cross, the middle of the common comfort suits both.
func compromise(a, b *accepts) (x, stress float64) {
	high, low := min(a.up.pref, b.up.pref), max(-a.down.pref, -b.down.pref)
	if low <= high {
		if math.IsInf(low, -1) {
			return max(high/2, 0), 0
		}
		return (low + high) / 2, 0
	}
	for _, up := range [2]*ramp{&a.up, &b.up} {
		for _, down := range [2]*ramp{&a.down, &b.down} {
			if at, s := crossing(up, down); s > stress {
				x, stress = at, s
			}
		}
	}
	return x, stress
}

// crossing is where a rising ramp meets a falling one, and the stress there; 0 when
// they leave a gap of comfort between them.
func crossing(up, down *ramp) (x, stress float64) {
	from, to := up.pref, -down.pref
	if from >= to {
		return from, 0
	}
	corners := [3]float64{min(up.tol, -down.tol), max(up.tol, -down.tol), to}
	gap := func(x float64) float64 { return up.at(x) - down.at(-x) }
	gFrom := gap(from)
	for _, c := range corners {
		c = clamp(c, from, to)
		g := gap(c)
		if g >= 0 {
			if g > gFrom {
				from += (c - from) * -gFrom / (g - gFrom)
			}
			break
		}
		from, gFrom = c, g
	}
	return from, max(up.at(from), down.at(-from))
}

// paramStress is the stress that one parameter puts on each of the two: at the reading
// where one is given, else at the best compromise, where both count as stressed as the
// worse-off.
func paramStress(a, b *Profile, c *Conditions, p species.Parameter, e end) (onA, onB float64) {
	wa, wb := &a.water[e][p], &b.water[e][p]
	if r := c.Reading[p]; r.Known {
		return stressIfKnown(wa, r.Value, e), stressIfKnown(wb, r.Value, e)
	}
	if !wa.known || !wb.known {
		return unknownStress(e), unknownStress(e)
	}
	_, s := compromise(wa, wb)
	return s, s
}

// worstStress is the stress of the worse-off of the two.
func worstStress(a, b *Profile, c *Conditions, p species.Parameter, e end) float64 {
	onA, onB := paramStress(a, b, c, p, e)
	return max(onA, onB)
}

func stressIfKnown(w *accepts, x float64, e end) float64 {
	if !w.known {
		return unknownStress(e)
	}
	return w.stress(x)
}

// unknownStress is the stress of a parameter whose range is not recorded: none, but
// as bad as the tolerated edge at the harsher end.
func unknownStress(e end) float64 {
	if e == harsher {
		return 1
	}
	return 0
}

// waterHazard is the hazard of sharing one body of water: what it does to each of the
// two. Acidity and hardness are two faces of the same dissolved minerals, so the worse
// of them counts once; a kind among its own counts once too. Where neither is at its
// best, the stress of the better-off counts besides: no change of that water helps both,
// so they live with it for good.
func (m *Model) waterHazard(a, b *Profile, c *Conditions, e end) float64 {
	tA, tB := paramStress(a, b, c, species.Temperature, e)
	acidA, acidB := paramStress(a, b, c, species.PH, e)
	hardA, hardB := paramStress(a, b, c, species.Hardness, e)
	saltA, saltB := paramStress(a, b, c, species.Salinity, e)
	onA := m.stressHazard(tA) + m.stressHazard(max(acidA, hardA)) + m.stressHazard(saltA)
	onB := m.stressHazard(tB) + m.stressHazard(max(acidB, hardB)) + m.stressHazard(saltB)
	if OneKind(a.Species, b.Species) {
		return max(onA, onB)
	}
	t, minerals, salt := min(tA, tB), min(max(acidA, hardA), max(acidB, hardB)), min(saltA, saltB)
	return onA + onB + m.w.WaterStress*apartGain*(felt(t)+felt(minerals)+felt(salt))
}

// felt is the part of a stress borne for good that tells: a degree between two preferred
// ranges is no conflict.
func felt(s float64) float64 { return max(0, s-apartFrom) }

// stressHazard is what a stress does to one fish: little up to the edge of what it lives
// with for years, mounting at once beyond it.
func (m *Model) stressHazard(s float64) float64 {
	if s <= 0 {
		return 0
	}
	return m.w.WaterStress*s*s + outsideHazard*max(0, s-1)
}

// Window is the shared range of one parameter: what both tolerate and, inside it,
// what both prefer (PreferredOK false when the preferred ranges are apart).
type Window struct {
	Parameter   species.Parameter
	Tolerated   species.Range
	Preferred   species.Range
	PreferredOK bool
	Best        float64 // the value at which the worse-off is least stressed
}

// SharedWater is the common window of all parameters recorded for both, or ok =
// false with the first parameter whose tolerated ranges are apart.
func SharedWater(a, b *species.Species) (windows []Window, ruledOut species.Parameter, ok bool) {
	ok = true
	for p := range species.Parameter(species.NumParameters) {
		wa, wb := a.Water[p], b.Water[p]
		if !wa.Known() || !wb.Known() {
			continue
		}
		common, meet := wa.Tolerated.Intersect(wb.Tolerated)
		if !meet && ok {
			ruledOut, ok = p, false
		}
		win := Window{Parameter: p, Tolerated: common}
		win.Preferred, win.PreferredOK = wa.Preferred.Intersect(wb.Preferred)
		ra, rb := acceptsAt(wa, p, typical), acceptsAt(wb, p, typical)
		best, _ := compromise(&ra, &rb)
		win.Best = best
		if meet {
			win.Best = clamp(best, common.Low, common.High)
		}
		windows = append(windows, win)
	}
	return windows, ruledOut, ok
}
