package calibration

import (
	"math"

	"commensal/internal/conflict"
)

// The objective, smaller being better:
//
//	(1 − κ̃) + reasonCost·(reasons missed) + directionCost·(directions missed)
//	        + waterCost·(water levels missed) + marginCost·(mean squared distance from the judged levels)
//	        + pull·Σ ln²(weight ÷ start)
//
// κ̃ is the quadratically weighted kappa with each level read softly from the score, so that
// it has a slope. Reasons, directions and water levels are what judges say beside the
// level: they hold every factor to its own part and carry to pairs not seen. The pull
// keeps a weight that the panel says little about near its starting value.
const (
	softness      = 0.15 // of a level, in levels
	reasonCost    = 0.25
	directionCost = 0.08
	waterCost     = 0.02
	marginCost    = 0.03
	pull          = 0.0006
	// conditionsCost is the weight of the pairs under stated conditions against the ordinary.
	conditionsCost = 0.35

	// comfort is how far inside its level, in levels, a score is content.
	comfort = 0.2
)

// at is the place of a score on the scale of levels: 0 in the middle of low, 3 of severe, and
// straight on beyond where severe begins, so that a wrong score always feels a slope.
func at(score float64) float64 {
	if score <= conflict.SevereFrom {
		return score/25 - 0.5
	}
	hazard := -math.Log1p(-min(score, 99.9999) / 100)
	return 2.5 + hazard - math.Log(4)
}

// Objective is the value that [Fit] minimises.
func (p Panel) Objective(w conflict.Weights) float64 {
	causes, err := p.Causes(w)
	if err != nil {
		return math.Inf(1)
	}
	return p.misfit(causes) + pull*drift(w)
}

// misfit is the objective without the pull.
func (p Panel) misfit(causes []conflict.Causes) float64 {
	var ordinary, conditional tally
	for i := range p {
		t := &ordinary
		if p[i].Conditional {
			t = &conditional
		}
		t.add(&p[i], &causes[i])
	}
	return ordinary.cost() + conditionsCost*conditional.cost()
}

// drift is how far the weights are from their starting values.
func drift(w conflict.Weights) float64 {
	sum := 0.0
	for _, s := range conflict.WeightSpecs {
		d := math.Log(*s.At(&w) / s.Start)
		sum += d * d
	}
	return sum
}

// tally gathers what the objective needs of a set of pairs.
type tally struct {
	n, loss                     float64
	judged, read                [conflict.NumLevels]float64
	reason, direction, water    float64
	reasons, directions, water0 float64
	margin                      float64
}

func (t *tally) add(j *Judgement, c *conflict.Causes) {
	y := at(c.Value)
	t.n++
	t.judged[j.Level]++
	for l, p := range soft(y) {
		t.read[l] += p
		t.loss += p * float64(square(l-int(j.Level)))
	}
	t.margin += offLevel(y, j)
	if j.Level > conflict.Low && j.Reason != conflict.NoReason {
		miss := 1 - chance(j, c)
		t.reason += miss * miss
		t.reasons++
	}
	if j.told() {
		miss := 1 - towards(j, c)
		t.direction += miss * miss
		t.directions++
	}
	if j.HasWater {
		t.water += offWater(at(100*-math.Expm1(-c.By[conflict.Water])), j.WaterLevel)
		t.water0++
	}
}

func (t *tally) cost() float64 {
	if t.n == 0 {
		return 0
	}
	expected := 0.0
	for i := range t.judged {
		for k := range t.read {
			expected += t.judged[i] * t.read[k] / t.n * float64(square(i-k))
		}
	}
	return t.loss/max(expected, 1e-9) + reasonCost*t.reason/max(t.reasons, 1) +
		directionCost*t.direction/max(t.directions, 1) + waterCost*t.water/max(t.water0, 1) + marginCost*t.margin/t.n
}

// soft is the chance of each level at a place on the scale.
func soft(y float64) (p [conflict.NumLevels]float64) {
	above := 1.0
	for l := range p {
		next := 0.0
		if l < conflict.NumLevels-1 {
			next = 1 / (1 + math.Exp(-(y-float64(l)-0.5)/softness))
		}
		p[l] = above - next
		above = next
	}
	return p
}

// offLevel is the squared distance, in levels, of a place from the comfortable part of what
// the passes span around the median; straight beyond a level.
func offLevel(y float64, j *Judgement) float64 {
	mid := float64(j.Level)
	low := mid - comfort - 0.5*float64(j.Level-j.Low)
	high := mid + comfort + 0.5*float64(j.High-j.Level)
	if j.Level == conflict.Low {
		low = math.Inf(-1)
	}
	if j.Level == conflict.Severe {
		high = math.Inf(1)
	}
	d := max(low-y, y-high, 0)
	if d > 1.2 {
		return 2.4*d - 1.44
	}
	return d * d
}

// offWater is the same for the level that the water alone gives.
func offWater(y float64, level conflict.Level) float64 {
	mid := float64(level)
	d := max(mid-0.3-y, y-mid-0.3, 0)
	if level == conflict.Low && y < mid || level == conflict.Severe && y > mid {
		return 0
	}
	d = min(d, 2)
	return d * d
}

// chance is how far the model gives the judged reason, 0 to 1: the square of the hazard of
// its factor against those of all, and within temperament the same for nipping and
// fighting.
func chance(j *Judgement, c *conflict.Causes) float64 {
	const ground = 1e-6
	sq := func(x float64) float64 { return x*x + ground }
	fights, nips := c.By[conflict.Aggression]+c.By[conflict.OwnKind], c.By[conflict.FinNipping]
	temper, guard := sq(fights+nips), sq(c.Guarding)
	all := temper + guard
	for _, r := range []conflict.Reason{conflict.Predation, conflict.Water, conflict.FeedingClash, conflict.Hybridisation, conflict.Room} {
		all += sq(c.By[r])
	}
	within := sq(fights) / (sq(fights) + sq(nips))
	switch j.Reason {
	case conflict.Aggression, conflict.OwnKind:
		return (temper*within + guard) / all
	case conflict.FinNipping:
		return temper * (1 - within) / all
	}
	return sq(c.By[j.Reason]) / all
}

// told reports whether the judges said who harms whom, and harm has a direction at all.
func (j *Judgement) told() bool {
	one := j.Direction == FirstHarmsSecond || j.Direction == SecondHarmsFirst
	return one && j.Level > conflict.Low && j.Reason != conflict.Water && j.Reason != conflict.Room
}

// towards is how far the model's harm goes the judged way, 0 to 1.
func towards(j *Judgement, c *conflict.Causes) float64 {
	first, second := hazard(c.Harm[0]), hazard(c.Harm[1])
	share := (first*first + 1e-6) / (first*first + second*second + 2e-6)
	if j.Direction == SecondHarmsFirst {
		return 1 - share
	}
	return share
}

func hazard(risk float64) float64 { return -math.Log1p(-min(risk, 0.999999)) }
