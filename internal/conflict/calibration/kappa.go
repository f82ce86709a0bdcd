package calibration

import "commensal/internal/conflict"

// Confusion counts judged levels (rows) against the model's (columns).
type Confusion [conflict.NumLevels][conflict.NumLevels]int

// Add counts one pair.
func (c *Confusion) Add(judged, model conflict.Level) { c[judged][model]++ }

// Kappa is Cohen's quadratically weighted kappa (Cohen 1968, Psychol. Bull.
// 70:213-220): 1 for perfect agreement, 0 for chance. It is 0 when every pair is in
// one cell, where it is not defined.
func (c *Confusion) Kappa() float64 {
	var rows, cols [conflict.NumLevels]float64
	n, seen := 0.0, 0.0
	for i := range c {
		for j, k := range c[i] {
			rows[i] += float64(k)
			cols[j] += float64(k)
			n += float64(k)
			seen += float64(k) * square(i-j)
		}
	}
	chance := 0.0
	for i := range rows {
		for j := range cols {
			chance += rows[i] * cols[j] / max(n, 1) * square(i-j)
		}
	}
	if chance == 0 {
		return 0
	}
	return 1 - seen/chance
}

// Exact is the share of pairs on the judged level.
func (c *Confusion) Exact() float64 {
	hit, n := 0, 0
	for i := range c {
		for j, k := range c[i] {
			n += k
			if i == j {
				hit += k
			}
		}
	}
	return float64(hit) / float64(max(n, 1))
}

// SevereAsLow is the worst mistake: a severe pair called low.
func (c *Confusion) SevereAsLow() int { return c[conflict.Severe][conflict.Low] }

func square(d int) float64 { return float64(d * d) }
