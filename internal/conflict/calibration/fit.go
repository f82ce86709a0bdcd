package calibration

import (
	"math"
	"math/rand/v2"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// The objective, smaller being better:
//
//	(1 − κ) + severeAsLowCost·(severe pairs called low)/n
//	        + marginCost·(mean squared distance of the score from its level's band)
//	        + pull·Σ ln²(weight ÷ start)
//
// κ is the quadratically weighted kappa of the levels. The margin term is there
// because κ is a staircase: it gives the search a slope and asks for scores well
// inside their level. It weighs most, because stairs fit to single pairs: pairs held out
// are judged better so. The pull keeps a weight that the panel says little about
// near its starting value.
const (
	severeAsLowCost = 5.0
	marginCost      = 4.0
	pull            = 0.1

	// comfort is how far inside its level, in levels, a score is content.
	comfort = 0.25

	firstStep, lastStep = 0.35, 0.01 // of ln(weight)
	maxSweeps           = 60
)

// Panel is a set of judgements with the model's readings of them.
type Panel []Judgement

// Scores are the model's scores for the panel under reference conditions.
func (p Panel) Scores(w conflict.Weights) ([]float64, error) {
	m, err := conflict.New(w)
	if err != nil {
		return nil, err
	}
	profiles := map[*species.Species]*conflict.Profile{}
	profile := func(sp *species.Species) *conflict.Profile {
		if profiles[sp] == nil {
			profiles[sp] = m.Profile(sp, conflict.Individual{})
		}
		return profiles[sp]
	}
	out := make([]float64, len(p))
	for i, j := range p {
		a, b := profile(j.A), profile(j.B)
		c := conflict.ConditionsFor(a, b, nil)
		out[i] = m.Value(a, b, &c)
	}
	return out, nil
}

// Confusion compares the panel's levels with the model's.
func (p Panel) Confusion(scores []float64) Confusion {
	var c Confusion
	for i, j := range p {
		c.Add(j.Level, conflict.LevelOf(scores[i]))
	}
	return c
}

// Objective is the value that [Fit] minimises.
func (p Panel) Objective(w conflict.Weights) float64 {
	scores, err := p.Scores(w)
	if err != nil {
		return math.Inf(1)
	}
	c := p.Confusion(scores)
	n := float64(max(len(p), 1))
	return (1 - c.Kappa()) + severeAsLowCost*float64(c.SevereAsLow())/n +
		marginCost*p.distance(scores) + pull*drift(w)
}

// smoothObjective is the objective without its staircases.
func (p Panel) smoothObjective(w conflict.Weights) float64 {
	scores, err := p.Scores(w)
	if err != nil {
		return math.Inf(1)
	}
	return marginCost*p.distance(scores) + pull*drift(w)
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

// distance is the mean of offBand over the panel.
func (p Panel) distance(scores []float64) float64 {
	sum := 0.0
	for i, j := range p {
		sum += offBand(scores[i], j)
	}
	return sum / float64(max(len(p), 1))
}

// offBand is the squared distance, in levels, of a score from the comfortable part
// of the band that the passes span around the median.
func offBand(score float64, j Judgement) float64 {
	at := score/25 - 0.5 // low is centred on 0, severe on 3
	mid := float64(j.Level)
	low := mid - comfort - 0.5*float64(j.Level-j.Low)
	high := mid + comfort + 0.5*float64(j.High-j.Level)
	if j.Level == conflict.Low {
		low = -1
	}
	if j.Level == conflict.Severe {
		high = 4
	}
	d := max(low-at, at-high, 0)
	return d * d
}

// Fit searches the weights that minimise the objective, from the starting values. It
// first follows the smooth part alone, which has no stairs to get stuck on, then the
// whole objective. Each sweep tries a step up and down on every weight and along
// random mixtures of weights (a fixed seed, so every run is the same); a sweep
// without gain halves the step.
func Fit(p Panel, start conflict.Weights) conflict.Weights {
	smooth := search(p, start, func(w conflict.Weights) float64 { return p.smoothObjective(w) })
	return search(p, smooth, func(w conflict.Weights) float64 { return p.Objective(w) })
}

func search(p Panel, start conflict.Weights, objective func(conflict.Weights) float64) conflict.Weights {
	rng := rand.New(rand.NewPCG(1, uint64(len(p))))
	best, value := start, objective(start)
	step := firstStep
	for sweep := 0; sweep < maxSweeps && step >= lastStep; sweep++ {
		gained := false
		for _, d := range directions(rng) {
			for _, sign := range []float64{1, -1} {
				try := best
				for i, s := range conflict.WeightSpecs {
					if d[i] != 0 {
						move(s, &try, sign*step*d[i])
					}
				}
				if v := objective(try); v < value-1e-9 {
					best, value, gained = try, v, true
					break
				}
			}
		}
		if !gained {
			step /= 2
		}
	}
	return best
}

// directions are the axes and as many random mixtures, in a random order.
func directions(rng *rand.Rand) [][]float64 {
	n := len(conflict.WeightSpecs)
	var out [][]float64
	for i := range n {
		axis, mix := make([]float64, n), make([]float64, n)
		axis[i] = 1
		for k := range mix {
			mix[k] = rng.NormFloat64() / 2
		}
		out = append(out, axis, mix)
	}
	rng.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

// move shifts the logarithm of one weight by a step, inside its bounds.
func move(s conflict.WeightSpec, w *conflict.Weights, step float64) {
	at := s.At(w)
	*at = min(max(*at*math.Exp(step), s.Min), s.Max)
}
