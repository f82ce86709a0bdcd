package stocking

import (
	"math"
	"slices"

	"commensal/internal/species"
	"commensal/internal/stocking/graph"
	"commensal/internal/waterchem"
)

// burden is what each line adds to a load that no weekly water change can hold, so that
// parts of the list can be weighed without computing the whole load again. The rise of
// nitrate is in proportion to the feed, the feed to the resting metabolism, and that
// to mass^0.79 at one temperature (see package waterchem).
type burden struct {
	part []float64 // mg/L of weekly rise by line, at the temperature of the whole list
	room float64   // mg/L that one weekly change can hold
	// warmth is the part's factor at the temperature that a line would set if it
	// were the warmest, nil where a reading sets it for all.
	warmth  []float64
	coldest float64 // the least factor that a remaining list can have
	order   []int   // lines by cost for each mg/L, cheapest first
	whole   bool    // all weights are whole numbers, and so is any cost
}

// burdenOf reads the parts from the load of the whole list; ok is false unless that load
// is too heavy.
func (c *leaveOutSolver) burdenOf() (b burden, ok bool) {
	l := c.Load
	if l == nil || l.Nitrate == nil || l.Nitrate.Holds[1] {
		return b, false
	}
	n := len(c.Lines)
	b = burden{part: make([]float64, n), order: make([]int, n), room: max(0, NitrateCeiling-l.Nitrate.Source), coldest: 1, whole: true}
	sum := 0.0
	for i := range c.Lines {
		b.part[i] = float64(c.Lines[i].Fish) * math.Pow(c.Lines[i].Mass.Typical, waterchem.MassExponent)
		sum += b.part[i]
		b.order[i] = i
		b.whole = b.whole && c.weight[i] == math.Trunc(c.weight[i])
	}
	for i := range b.part {
		b.part[i] *= l.Nitrate.WeeklyRise.Typical / sum
	}
	if l.TemperatureTaken {
		b.setWarmth(c)
	}
	slices.SortStableFunc(b.order, func(x, y int) int {
		return compareDescending(b.part[x]*c.weight[y], b.part[y]*c.weight[x])
	})
	return b, true
}

// setWarmth computes the factors for a list without a temperature reading, which is as
// warm as its warmest line likes it.
func (b *burden) setWarmth(c *leaveOutSolver) {
	b.warmth = make([]float64, len(c.Lines))
	base, _ := waterchem.RestingRate(1, c.Load.TemperatureC)
	for i := range c.Lines {
		celsius := ordinaryTemperature
		if w := &c.Lines[i].Species.Water[species.Temperature]; w.Known() {
			celsius = (w.Preferred.Low + w.Preferred.High) / 2
		}
		if rate, err := waterchem.RestingRate(1, min(max(celsius, 0), 40)); err == nil && base > 0 {
			b.warmth[i] = rate / base
		}
		b.coldest = min(b.coldest, b.warmth[i])
	}
}

// slack keeps rounding from calling a load that is exactly held too heavy or the other
// way round: within it, a load counts as too heavy.
const slack = 1e-9

// heavy reports whether the lines that are not out still are too heavy.
func (b *burden) heavy(c *leaveOutSolver, out graph.Set) bool {
	rise, warmest := 0.0, 0.0
	for i := range b.part {
		if out.Has(i) {
			continue
		}
		rise += b.part[i]
		if b.warmth != nil && c.Lines[i].Species.Water[species.Temperature].Known() {
			warmest = max(warmest, b.warmth[i])
		}
	}
	switch {
	case b.warmth == nil:
		warmest = 1
	case warmest == 0: // none of the rest has a range: the ordinary temperature
		warmest = b.ordinary(out)
	}
	return rise*warmest > b.room*(1-slack)
}

// ordinary is the factor at the ordinary temperature, which lines without a range have.
func (b *burden) ordinary(out graph.Set) float64 {
	for i, w := range b.warmth {
		if !out.Has(i) {
			return w
		}
	}
	return b.coldest
}

// bound is a cost that leaving out cannot stay under, given the lines that are out and
// those that must stay: the cheapest lines for each mg/L go first, the last in part.
// Whole weights make it whole.
func (b *burden) bound(c *leaveOutSolver, out, stays graph.Set) float64 {
	cost, rise := 0.0, 0.0
	for i, p := range b.part {
		if out.Has(i) {
			cost += c.weight[i]
		} else {
			rise += p
		}
	}
	over := rise - b.room/b.coldest
	for _, i := range b.order {
		if over <= slack*rise || out.Has(i) || stays.Has(i) {
			continue
		}
		share := min(1, over/b.part[i])
		cost += share * c.weight[i]
		over -= b.part[i]
	}
	if b.whole {
		cost = math.Ceil(cost - 1e-6)
	}
	return cost
}
