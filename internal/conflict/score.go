package conflict

import "math"

// Score is the numeric answer for one pairing.
type Score struct {
	Value  float64             // 0 to 100
	Band   [2]float64          // low and high, from the trait bands
	Harm   [2]float64          // 0 to 1: first to second, second to first
	Shares [NumFactors]float64 // Shapley shares; they sum to Value
	Reason Reason
	Level  Level
}

// sums are the hazards of one pairing gathered by how the factors switch them.
type sums struct {
	swallow float64
	clash   float64 // aggression and rivalry: temperament × zone × space
	nip     float64 // temperament × zone
	water   float64
	cramped float64
	feed    float64 // feeding × zone
	guard   float64 // breeding × zone × space
	hybrid  float64
	zone    float64
	room    float64
}

func (t *terms) sums() sums {
	return sums{
		swallow: t.eaten(0) + t.young[0] + t.eaten(1) + t.young[1],
		clash:   t.clash(0) + t.clash(1),
		nip:     t.nip[0] + t.nip[1],
		water:   t.water, cramped: t.cramped,
		feed:  t.race[0] + t.race[1] + t.diet,
		guard: t.guard[0] + t.guard[1], hybrid: t.hybrid,
		zone: t.zone, room: t.room,
	}
}

// clash is the aggression of direction d, brood guarding left out.
func (t *terms) clash(d int) float64 { return t.press[d] + t.mistake[d] + t.rival[d] }

// total is the hazard with every factor present.
func (s *sums) total() float64 {
	return s.swallow + (s.clash+s.guard)*s.zone*s.room + (s.nip+s.feed)*s.zone +
		s.water + s.cramped + s.hybrid
}

// of is the hazard with only the factors in the set present; an absent modifier
// takes its neutral value 1, an absent cause its neutral value 0.
func (s *sums) of(set uint) float64 {
	zone, room, h := 1.0, 1.0, 0.0
	if set&(1<<SwimmingZone) != 0 {
		zone = s.zone
	}
	if set&(1<<Space) != 0 {
		room = s.room
		h += s.cramped
	}
	if set&(1<<SizeRatio) != 0 {
		h += s.swallow
	}
	if set&(1<<Temperament) != 0 {
		h += s.clash*zone*room + s.nip*zone
	}
	if set&(1<<WaterRange) != 0 {
		h += s.water
	}
	if set&(1<<Feeding) != 0 {
		h += s.feed * zone
	}
	if set&(1<<Breeding) != 0 {
		h += s.guard*zone*room + s.hybrid
	}
	return h
}

// Value is the score alone, without shares, band or words: the fast path for
// matrices and rankings.
func (m *Model) Value(a, b *Profile, c *Conditions) float64 {
	t := m.evaluate(a, b, c, typical)
	s := t.sums()
	return 100 * risk(s.total())
}

// Score computes the full numeric answer.
func (m *Model) Score(a, b *Profile, c *Conditions) Score {
	t := m.evaluate(a, b, c, typical)
	out := m.scoreOf(&t)
	out.Reason = t.reason(a, b, out.Level)
	out.Band = m.band(a, b, c, out.Value)
	return out
}

// band evaluates the pairing at the kinder and the harsher ends of every trait.
func (m *Model) band(a, b *Profile, c *Conditions, value float64) [2]float64 {
	low, high := m.evaluate(a, b, c, kinder), m.evaluate(a, b, c, harsher)
	l, h := low.sums(), high.sums()
	return [2]float64{min(value, 100*risk(l.total())), max(value, 100*risk(h.total()))}
}

// scoreOf combines the terms into value, harm, level and Shapley shares.
func (m *Model) scoreOf(t *terms) Score {
	s := t.sums()
	out := Score{Value: 100 * risk(s.total())}
	out.Level = LevelOf(out.Value)
	out.Harm = t.harm()
	out.Shares = shapley(&s)
	return out
}

// shapleyWeight[k] is k!(n−k−1)!/n!, the weight of a factor's marginal over a
// coalition of k others among n = 7.
var shapleyWeight = func() (w [NumFactors]float64) {
	for k := range w {
		w[k] = math.Gamma(float64(k)+1) * math.Gamma(float64(NumFactors-k)) / math.Gamma(float64(NumFactors)+1)
	}
	return w
}()

// shapley is the exact Shapley value of every factor (Shapley 1953, Contributions
// to the Theory of Games II:307-317) in the game whose worth is the score with only
// the factors of a coalition present.
func shapley(s *sums) (share [NumFactors]float64) {
	var worth [1 << NumFactors]float64
	for set := range worth {
		worth[set] = 100 * risk(s.of(uint(set)))
	}
	return shapleyOf(&worth)
}

func shapleyOf(worth *[1 << NumFactors]float64) (share [NumFactors]float64) {
	for f := range share {
		bit := 1 << f
		for set := range worth {
			if set&bit == 0 {
				share[f] += shapleyWeight[bitCount(set)] * (worth[set|bit] - worth[set])
			}
		}
	}
	return share
}
