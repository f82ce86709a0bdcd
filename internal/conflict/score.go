package conflict

import (
	"math"
	"math/bits"
)

// terms are the hazards and multipliers of one pairing at one end of the trait
// bands, before they are combined. Index 0 is what the first does to the second.
type terms struct {
	swallow [2]float64 // size_ratio: taken whole, or a soft one picked apart
	mishap  [2]float64 // size_ratio: a very small one taken by chance
	bite    [2]float64 // size_ratio: bitten to pieces or stunned, whatever its size
	crush   [2]float64 // size_ratio: broken out of its shell
	claw    [2]float64 // size_ratio: gripped at night
	young   [2]float64 // size_ratio: its young eaten, itself left alone
	press   [2]float64 // temperament: aggression to other kinds
	mistake [2]float64 // temperament: the other's fins taken for a challenge
	rival   [2]float64 // temperament: look-alikes or own kind, split by size edge
	nip     [2]float64 // temperament
	race    [2]float64 // feeding: the first outpaces the second
	bustle  [2]float64 // feeding: the first's bustle keeps the second from it
	diet    float64    // feeding, shared
	strains float64    // feeding, shared: a strainer of the water starves
	guard   [2]float64 // breeding
	hybrid  float64    // breeding, shared
	water   float64    // water_range, shared
	cramped float64    // space, shared
	housing float64    // space, shared: no customary tank holds them
	zone    float64    // multiplier in (0,1]: how much they meet
	room    float64    // multiplier: crowding and cover
}

// evaluate computes the terms of a pairing at one end of the bands.
func (m *Model) evaluate(a, b *Profile, c *Conditions, e end) (t terms) {
	m.judge(&t, m.at(a, e), m.at(b, e), c, e, oneGroup(a, b))
	return t
}

// judge fills in the terms, which are zero, of two lines of fish at one end of the bands.
func (m *Model) judge(t *terms, a, b *fish, c *Conditions, e end, oneGroup bool) {
	m.join(t, a, b, c, e)
	m.house(t, a, b, c, oneGroup)
}

// house fills in what the size and the cover of the tank do.
func (m *Model) house(t *terms, a, b *fish, c *Conditions, oneGroup bool) {
	t.room, t.cramped = m.roomFor(&a.berth, &b.berth, c, oneGroup), m.cramped(&a.berth, &b.berth, c)
}

// join fills in the rest, of which the readings of the tank alone are part.
func (m *Model) join(t *terms, a, b *fish, c *Conditions, e end) {
	own := a.oneKind(&b.kind)
	t.zone = m.meeting(a, b, e)
	t.housing = m.housing(a, b)
	t.water = m.waterHazard(a, b, c, e, own)
	if own {
		t.rival = m.ownKindHazard(a, b)
	}
	if a.id == b.id {
		return
	}
	t.nip[0], t.nip[1] = m.nipHazard(a, b), m.nipHazard(b, a)
	m.feed(t, a, b, e, own)
	if !own {
		m.meet(t, a, b, e)
	}
}

// meet fills in what only different kinds do to each other.
func (m *Model) meet(t *terms, a, b *fish, e end) {
	m.take(t, 0, a, b, e)
	m.take(t, 1, b, a, e)
	m.oppose(t, a, b)
	if (a.hybridises || b.hybridises) && crosses(a.sp, b.sp) {
		t.hybrid = m.hybridHazard(a.sp, b.sp)
	}
}

// oppose fills in their aggression.
func (m *Model) oppose(t *terms, a, b *fish) {
	t.rival = m.rivalHazard(a, b)
	t.press[0], t.guard[0] = m.pressHazard(a, b)
	t.press[1], t.guard[1] = m.pressHazard(b, a)
	t.mistake[0], t.mistake[1] = m.mistakeHazard(a, b), m.mistakeHazard(b, a)
}

// Score is the numeric answer for one pairing.
type Score struct {
	Value    float64             // 0 to 100
	Band     [2]float64          // where the level that careful keepers give lies in 8 of 10 pairs
	Extremes [2]float64          // the score with every trait at its kinder and at its harsher end
	Harm     [2]float64          // 0 to 1: first to second, second to first
	Shares   [NumFactors]float64 // Shapley shares; they sum to Value
	Reason   Reason
	Level    Level
}

// sums are the hazards of one pairing gathered by how the factors switch them.
type sums struct {
	swallow float64
	clash   float64 // aggression and rivalry: temperament × zone × space
	nip     float64 // temperament × zone
	water   float64
	room1   float64 // space: too small a tank, or none that holds them
	feed    float64 // feeding × zone
	strains float64 // feeding
	guard   float64 // breeding × zone × space
	hybrid  float64
	zone    float64
	room    float64
}

func (t *terms) sums() sums {
	return sums{
		swallow: t.eating(),
		clash:   t.clash(0) + t.clash(1),
		nip:     t.nip[0] + t.nip[1],
		water:   t.water, room1: t.cramped + t.housing,
		feed: t.hungry(0) + t.hungry(1) + t.diet, strains: t.strains,
		guard: t.guard[0] + t.guard[1], hybrid: t.hybrid,
		zone: t.zone, room: t.room,
	}
}

// total is the hazard with every factor present.
func (s *sums) total() float64 {
	return s.swallow + (s.clash+s.guard)*s.zone*s.room + (s.nip+s.feed)*s.zone +
		s.strains + s.water + s.room1 + s.hybrid
}

// Value is the score alone, without shares, band or words: the fast path for
// matrices and rankings.
func (m *Model) Value(a, b *Profile, c *Conditions) float64 {
	return m.valueOf(&a.fish, &b.fish, c, oneGroup(a, b))
}

// Pairwise is what a pairing in the best common water comes to whatever tank holds it, so that
// it can be judged in many tanks and companies at little cost. It is immutable.
type Pairwise struct {
	a, b     *Profile
	t        terms // but for the room
	oneGroup bool
}

// Pairwise works out what two lines do to each other in the best common water.
func (m *Model) Pairwise(a, b *Profile) Pairwise {
	p := Pairwise{a: a, b: b, oneGroup: oneGroup(a, b)}
	m.join(&p.t, &a.fish, &b.fish, &Conditions{}, typical)
	return p
}

// ValueIn is [Model.Value] of the pairing, to the bit, under conditions without a reading.
func (m *Model) ValueIn(p *Pairwise, c *Conditions) float64 {
	s := p.t.sums()
	s.room = m.roomFor(&p.a.berth, &p.b.berth, c, p.oneGroup)
	s.room1 += m.cramped(&p.a.berth, &p.b.berth, c)
	return 100 * risk(s.total())
}

// BriefIn is [Model.Brief] of the pairing under conditions without a reading; a low score is left
// without shares, which nothing is told of.
func (m *Model) BriefIn(p *Pairwise, c *Conditions) (Score, Statement) {
	t := p.t
	m.house(&t, &p.a.fish, &p.b.fish, c, p.oneGroup)
	s := t.sums()
	if value := 100 * risk(s.total()); LevelOf(value) == Low {
		score := Score{Value: value, Harm: t.harm(), Band: bandOf(value, len(p.a.missing)+len(p.b.missing))}
		x := explainer{m: m, a: p.a, b: p.b, c: c, t: &t}
		return score, x.fine()
	}
	return m.brief(&t, p.a, p.b, c)
}

// valueOf is the score of two lines of fish.
func (m *Model) valueOf(a, b *fish, c *Conditions, oneGroup bool) float64 {
	var t terms
	m.judge(&t, a, b, c, typical, oneGroup)
	s := t.sums()
	return 100 * risk(s.total())
}

// Score computes the full numeric answer.
func (m *Model) Score(a, b *Profile, c *Conditions) Score {
	t := m.evaluate(a, b, c, typical)
	out := m.scoreOf(&t, a, b)
	out.Extremes = m.extremes(a, b, c, out.Value)
	return out
}

// extremes evaluates the pairing at the kinder and the harsher ends of every trait.
func (m *Model) extremes(a, b *Profile, c *Conditions, value float64) [2]float64 {
	low, high := m.evaluate(a, b, c, kinder), m.evaluate(a, b, c, harsher)
	l, h := low.sums(), high.sums()
	return [2]float64{min(value, 100*risk(l.total())), max(value, 100*risk(h.total()))}
}

// scoreOf combines the terms into value, level, harm, Shapley shares, reason and band.
func (m *Model) scoreOf(t *terms, a, b *Profile) Score {
	s := t.sums()
	out := m.outline(t, &s, a, b)
	out.Shares = shapley(&s)
	return out
}

// outline is scoreOf without the shares, which are most of its work.
func (m *Model) outline(t *terms, s *sums, a, b *Profile) Score {
	out := Score{Value: 100 * risk(s.total()), Harm: t.harm()}
	out.Level = LevelOf(out.Value)
	out.Reason = s.reason(a, b, &out)
	out.Band = bandOf(out.Value, len(a.missing)+len(b.missing))
	return out
}

// harm is the risk in each direction, first to second and second to first.
func (t *terms) harm() (harm [2]float64) {
	for d := range harm {
		harm[d] = risk(t.eaten(d) + t.young[d] + (t.clash(d)+t.guard[d])*t.zone*t.room +
			(t.nip[d]+t.hungry(d))*t.zone)
	}
	return harm
}

// reason names the chief cause of a score that is not low.
func (s *sums) reason(a, b *Profile, of *Score) Reason {
	if of.Level == Low {
		return NoReason
	}
	causes := s.causes(a, b)
	causes.Value = of.Value
	return causes.Reason()
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
// the factors of a coalition present: an absent modifier takes its neutral value 1, an
// absent cause its neutral value 0.
func shapley(s *sums) (share [NumFactors]float64) {
	var worth [1 << NumFactors]float64
	for mods := range 4 {
		survives := s.survival(mods)
		with := mods&1<<SwimmingZone | mods>>1<<Space
		// left is the survival of each coalition of causes, with a factor more at a time; that of
		// too small a tank is there with the room.
		var left [1 << (NumFactors - 2)]float64
		left[0] = 1
		if mods&2 != 0 {
			left[0] = survives[Space]
		}
		var sets [1 << (NumFactors - 2)]int
		n := 1
		for _, f := range [...]Factor{SizeRatio, Temperament, WaterRange, Feeding, Breeding} {
			for k := range n {
				left[n+k], sets[n+k] = left[k]*survives[f], sets[k]|1<<f
			}
			n *= 2
		}
		for k := range left {
			worth[sets[k]|with] = 100 * (1 - left[k])
		}
	}
	return shapleyOf(&worth)
}

// survival is e^(−hazard) of each factor as it acts without modifiers, with the zone (1), with
// the room (2) and with both.
func (s *sums) survival(mods int) (out [NumFactors]float64) {
	zone, room := 1.0, 1.0
	if mods&1 != 0 {
		zone = s.zone
	}
	if mods&2 != 0 {
		room = s.room
	}
	out[SizeRatio] = survives(s.swallow)
	out[Temperament] = survives(s.clash*zone*room + s.nip*zone)
	out[WaterRange] = survives(s.water)
	out[SwimmingZone] = 1
	out[Space] = survives(s.room1)
	out[Feeding] = survives(s.feed*zone + s.strains)
	out[Breeding] = survives(s.guard*zone*room + s.hybrid)
	return out
}

// survives is e^(−hazard).
func survives(hazard float64) float64 {
	if hazard == 0 {
		return 1
	}
	return math.Exp(-hazard)
}

func shapleyOf(worth *[1 << NumFactors]float64) (share [NumFactors]float64) {
	for f := range share {
		bit := 1 << f
		sum := 0.0
		for from := 0; from < len(worth); from += 2 * bit { // the coalitions without the factor
			without, with, weight := worth[from:from+bit], worth[from+bit:from+2*bit], weightBeside[from:from+bit]
			for k, v := range without {
				sum += weight[k] * (with[k] - v)
			}
		}
		share[f] = sum
	}
	return share
}

// weightBeside is the weight of a factor's marginal over each coalition.
var weightBeside = func() (w [1 << NumFactors]float64) {
	for set := range w {
		if n := bits.OnesCount(uint(set)); n < NumFactors {
			w[set] = shapleyWeight[n]
		}
	}
	return w
}()

// Causes are the hazards of a pairing by their reason, as they act, zone and room included:
// what a calibration compares with judged reasons. Guarding parents count as their own
// cause, which a judge would call aggression.
type Causes struct {
	Value    float64 // the score, 0 to 100
	By       [NumReasons]float64
	Guarding float64
	Harm     [2]float64 // 0 to 1: first to second, second to first
}

// CausesOf evaluates a pairing at the typical values of its traits.
func (m *Model) CausesOf(a, b *Profile, c *Conditions) Causes {
	t := m.evaluate(a, b, c, typical)
	s := t.sums()
	out := s.causes(a, b)
	out.Value, out.Harm = 100*risk(s.total()), t.harm()
	return out
}

// causes gathers the hazards by their reason.
func (s *sums) causes(a, b *Profile) (out Causes) {
	clash := Aggression
	if OneKind(a.Species, b.Species) {
		clash = OwnKind
	}
	out.Guarding = s.guard * s.zone * s.room
	out.By[Predation] = s.swallow
	out.By[clash] = s.clash * s.zone * s.room
	out.By[FinNipping] = s.nip * s.zone
	out.By[Water] = s.water
	out.By[FeedingClash] = s.feed*s.zone + s.strains
	out.By[Hybridisation] = s.hybrid
	out.By[Room] = s.room1
	return out
}

// What is seen at once is named before what works slowly and is as grave: how much more of a
// hazard others must be for a fish that is eaten, or one whose fins are torn, not to be the main
// reason of a score from high on. Common practice, no source.
const (
	eatenFirst  = 1.5
	nippedFirst = 2.0
)

// Reason is the chief of the causes, the one that a keeper would name first: the greatest
// hazard, being eaten and torn fins counted higher where the score is high. A guarding parent is
// told as aggression.
func (c *Causes) Reason() Reason {
	by := c.By
	if c.Value >= HighFrom {
		by[Predation] *= eatenFirst
		by[FinNipping] *= nippedFirst
	}
	by[Aggression] = max(by[Aggression], c.Guarding)
	best := Predation
	for r := Aggression; int(r) < NumReasons; r++ {
		if by[r] > by[best] {
			best = r
		}
	}
	return best
}
