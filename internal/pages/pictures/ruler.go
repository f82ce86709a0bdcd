package pictures

import "math"

// scale maps values to pixels along x.
type scale struct {
	from, to float64 // values
	x0, x1   float64 // pixels
}

func (s scale) at(v float64) float64 {
	return s.x0 + (v-s.from)/(s.to-s.from)*(s.x1-s.x0)
}

// step is a round distance between ticks that gives about n of them.
func step(span float64, n int) float64 {
	raw := span / float64(max(n, 1))
	if raw <= 0 || math.IsInf(raw, 0) || math.IsNaN(raw) {
		return 1
	}
	unit := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, f := range [...]float64{1, 2, 5} {
		if raw <= f*unit*1.0000001 {
			return f * unit
		}
	}
	return 10 * unit
}

// axis draws ticks with numbers below y, and a thin line.
func (s *Scene) axis(a scale, y float64, ticks int, unit string) {
	s.line(Soft, 1, segment(a.x0, y, a.x1, y))
	d := step(a.to-a.from, ticks)
	last := math.Inf(-1)
	for v := math.Ceil(a.from/d-1e-9) * d; v <= a.to+d*1e-6; v += d {
		x := a.at(v)
		s.line(Soft, 1, segment(x, y, x, y+4)).names("tick", "").stands(v, v)
		text := short(v)
		if v+d > a.to+d*1e-6 && unit != "" {
			text += " " + unit
		}
		half := widthOf(text, Small, false) / 2
		x = math.Min(math.Max(x, half), s.W-half)
		if x-half < last+4 {
			continue
		}
		last = x + half
		s.label(x, y+4+Small, Small, Soft, text).anchor(.5)
	}
}
