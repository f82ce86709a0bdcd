package conflict

import (
	"math"

	"commensal/internal/species"
)

// Remedy is the least change of one kind that brings a pairing to a lower level.
// It is found by solving the model and holds when the pairing is judged again with
// the changed tank or count.
type Remedy struct {
	Statement Statement
	Level     Level   // reached level
	Score     float64 // reached score
	// The change: fields that do not change are zero or nil.
	Tank   *TankSize
	Cover  float64 // 0 when unchanged
	Water  *WaterChange
	Counts [2]int // wanted count of first and second, 0 when unchanged
}

// WaterChange is one reading to move.
type WaterChange struct {
	Parameter species.Parameter
	From, To  float64
}

// The remedies.
const (
	RemedyTank      Code = "remedy.larger_tank"
	RemedyCover     Code = "remedy.more_cover"
	RemedyTankCover Code = "remedy.larger_tank_and_cover"
	RemedyWater     Code = "remedy.water"
	RemedyGroup     Code = "remedy.larger_group"
	RemedyApart     Code = "remedy.keep_apart"
	RemedyWatch     Code = "remedy.watch"
)

// The grids remedies are searched on: steps a keeper can carry out.
const (
	coverStep = 0.05
	maxCover  = 0.95
	// homeTankCM is the length of the largest tank that a home can be asked for; larger ones
	// are no remedy.
	homeTankCM = 240
)

var waterStep = [species.NumParameters]float64{0.5, 0.1, 1, 0.5} // °C, pH, °dH, ppt

// remedies finds, for each kind of change, the least one that brings the score to
// the wanted level: low from moderate, moderate from high or severe.
func (m *Model) remedies(a, b *Profile, c *Conditions, s Score) []Remedy {
	if s.Level == Low {
		return nil
	}
	want := Moderate
	if s.Level == Moderate {
		want = Low
	}
	f := finder{m: m, a: a, b: b, c: c, now: s.Level, want: want}
	var out []Remedy
	causes := m.CausesOf(a, b, c)
	mends := func(r *Remedy) bool {
		x, y, then := f.under(r)
		after := m.CausesOf(x, y, &then)
		return causes.MendedBy(&after)
	}
	for _, find := range []func() *Remedy{f.water, f.group, f.cover, f.tank} {
		if r := find(); r != nil && mends(r) {
			out = append(out, *r)
		}
	}
	if len(out) == 0 {
		if r := f.tankAndCover(); r != nil && mends(r) {
			return []Remedy{*r}
		}
		none := RemedyApart
		if s.Level == Moderate {
			none = RemedyWatch
		}
		return []Remedy{{Statement: Statement{Code: none, Actor: a.Species, Other: b.Species},
			Level: s.Level, Score: s.Value}}
	}
	return out
}

// mendedShare is the least part of a fall that the main reason has to carry for the change to be its
// remedy. Common practice, no source.
const mendedShare = 0.5

// MendedBy reports whether a change that left these causes addresses the main reason as it was: at least half
// of the fall is that reason's own. A warmer tank is no remedy of fighting, though it bring the sum of both
// below a level.
func (c *Causes) MendedBy(after *Causes) bool {
	reason := c.Reason()
	fall := c.hazard() - after.hazard()
	return fall > 0 && c.of(reason)-after.of(reason) >= mendedShare*fall
}

// hazard is the sum of all causes.
func (c *Causes) hazard() float64 {
	sum := c.Guarding
	for _, h := range c.By {
		sum += h
	}
	return sum
}

// of is the hazard of a reason; guarding parents are told as aggression.
func (c *Causes) of(r Reason) float64 {
	if r == Aggression || r == OwnKind {
		return c.By[r] + c.Guarding
	}
	return c.By[r]
}

type finder struct {
	m    *Model
	a, b *Profile
	c    *Conditions
	now  Level // the level as it is
	want Level
}

// under is the pairing with a remedy made.
func (f *finder) under(r *Remedy) (a, b *Profile, c Conditions) {
	a, b, c = f.a, f.b, *f.c
	if r.Tank != nil {
		c.LengthCM, c.WidthCM = r.Tank.LengthCM, r.Tank.WidthCM
	}
	if r.Cover > 0 {
		c.Cover = r.Cover
	}
	if r.Water != nil {
		c.Reading[r.Water.Parameter].Value = r.Water.To
	}
	for i, p := range [...]*Profile{f.a, f.b} {
		if r.Counts[i] > 0 {
			pair := f.raised(i, p, r.Counts[i])
			a, b = pair[0], pair[1]
		}
	}
	return a, b, c
}

// raised is the pairing with more fish of one of the two, of both where they are one kind.
func (f *finder) raised(i int, p *Profile, want int) [2]*Profile {
	ind := p.Individual
	ind.Count = want
	pair, more := [2]*Profile{f.a, f.b}, f.m.Profile(p.Species, ind)
	pair[i] = more
	if f.a.Species.ID == f.b.Species.ID {
		pair = [2]*Profile{more, more}
	}
	return pair
}

// reaches scores changed conditions against the wanted level.
func (f *finder) reaches(a, b *Profile, c *Conditions) (float64, bool) {
	v := f.m.Value(a, b, c)
	return v, v < f.want.Ceiling()
}

func (f *finder) made(code Code, score float64, ev ...Evidence) *Remedy {
	level := LevelOf(score)
	return &Remedy{Level: level, Score: score, Statement: Statement{Code: code, Actor: f.a.Species, Other: f.b.Species,
		Evidence: append(ev, Evidence{"level", float64(level), "level"})}}
}

// tank finds the smallest standard tank that is larger than the present one.
func (f *finder) tank() *Remedy { return f.tankAt(f.c.Cover, RemedyTank) }

// tankAndCover does the same under dense cover.
func (f *finder) tankAndCover() *Remedy {
	if f.c.Cover >= maxCover {
		return nil
	}
	r := f.tankAt(maxCover, RemedyTankCover)
	if r != nil {
		r.Cover = maxCover
	}
	return r
}

func (f *finder) tankAt(cover float64, code Code) *Remedy {
	sizes := homeTanks()
	lo, hi := 0, len(sizes) // the first size that reaches the level; it is monotone in size
	var score float64
	for lo < hi {
		mid := (lo + hi) / 2
		if _, ok := f.inTank(sizes[mid], cover); ok {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	if lo == len(sizes) {
		return nil
	}
	size := sizes[lo]
	score, _ = f.inTank(size, cover)
	r := f.made(code, score, Evidence{"length", size.LengthCM, "cm"}, Evidence{"width", size.WidthCM, "cm"},
		Evidence{"cover", cover, "share"})
	r.Tank = &size
	return r
}

// homeTanks are the standard sizes that a home can be asked for.
func homeTanks() []TankSize {
	n := len(StandardTanks)
	for n > 0 && StandardTanks[n-1].LengthCM > homeTankCM {
		n--
	}
	return StandardTanks[:n]
}

// inTank scores the pairing in a standard tank. A size that is not larger than the
// present tank in every way never counts as reaching.
func (f *finder) inTank(size TankSize, cover float64) (float64, bool) {
	if size.LengthCM < f.c.LengthCM || size.FootprintCM2() <= f.c.FootprintCM2() {
		return 0, false
	}
	c := *f.c
	c.LengthCM, c.WidthCM, c.Cover = size.LengthCM, size.WidthCM, cover
	return f.reaches(f.a, f.b, &c)
}

// cover finds the least cover above the present one.
func (f *finder) cover() *Remedy {
	steps := int(math.Floor((maxCover - f.c.Cover + 1e-9) / coverStep))
	at := func(k int) float64 { return math.Round((f.c.Cover+float64(k)*coverStep)*100) / 100 }
	score := func(k int) (float64, bool) {
		c := *f.c
		c.Cover = at(k)
		return f.reaches(f.a, f.b, &c)
	}
	if steps < 1 {
		return nil
	}
	if _, ok := score(steps); !ok {
		return nil
	}
	lo, hi := 1, steps
	for lo < hi {
		mid := (lo + hi) / 2
		if _, ok := score(mid); ok {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	v, _ := score(lo)
	r := f.made(RemedyCover, v, Evidence{"cover", at(lo), "share"}, Evidence{"cover_now", f.c.Cover, "share"})
	r.Cover = at(lo)
	return r
}

// water finds the least move of the worst reading towards the best value of the two, inside
// what both tolerate. Where none reaches the wanted level the best value is offered, if it
// lowers the level at all.
func (f *finder) water() *Remedy {
	p, ok := f.worstReading()
	if !ok {
		return nil
	}
	now := f.c.Reading[p].Value
	best, ok := f.target(p)
	if !ok || shown(best) == shown(now) {
		return nil
	}
	step := math.Copysign(waterStep[p], best-now)
	for to := now; ; {
		to = math.Round((to+step)*100) / 100
		if last := (best-to)*step <= 0; last {
			to = best
		}
		if v, ok := f.atValue(p, to); ok && shown(to) != shown(now) {
			return f.moved(p, now, to, v)
		}
		if to == best {
			break
		}
	}
	if v, _ := f.atValue(p, best); LevelOf(v) < f.now {
		return f.moved(p, now, best, v)
	}
	return nil
}

// worstReading is the parameter whose reading costs most, however little: a pairing may be just above a level.
func (f *finder) worstReading() (worst species.Parameter, ok bool) {
	most := 0.0
	for p := range species.Parameter(species.NumParameters) {
		if !f.c.Reading[p].Known || !f.a.water[p].known || !f.b.water[p].known {
			continue
		}
		if onA, onB := paramStress(&f.a.fish, &f.b.fish, f.c, p, typical); onA+onB > most {
			worst, most, ok = p, onA+onB, true
		}
	}
	return worst, ok
}

// target is the best value of a parameter for the two, as it is shown; ok is false where
// they tolerate nothing in common.
func (f *finder) target(p species.Parameter) (best float64, ok bool) {
	common, meet := f.a.Species.Water[p].Tolerated.Intersect(f.b.Species.Water[p].Tolerated)
	if !meet {
		return 0, false
	}
	best, _ = compromise(&f.a.water[p], &f.b.water[p])
	return clamp(shown(best), common.Low, common.High), true
}

// atValue scores the pairing at another value of a parameter.
func (f *finder) atValue(p species.Parameter, to float64) (float64, bool) {
	c := *f.c
	c.Reading[p].Value = to
	return f.reaches(f.a, f.b, &c)
}

func (f *finder) moved(p species.Parameter, now, to, score float64) *Remedy {
	r := f.made(RemedyWater, score, Evidence{"from", now, unitOf(p)}, Evidence{"to", to, unitOf(p)})
	r.Statement.Words = []WordCode{parameterWord(p)}
	r.Water = &WaterChange{p, now, to}
	return r
}

// group raises a shoal that is short of company to its smallest defensible number.
func (f *finder) group() *Remedy {
	for i, p := range []*Profile{f.a, f.b} {
		if p.shortfall == 0 {
			continue
		}
		r := reader{sp: p.Species, ind: p.Individual}
		want := int(math.Ceil(r.at(species.GroupMin, keptAs(p.Species, p.Individual), kinder)))
		pair := f.raised(i, p, want)
		if v, ok := f.reaches(pair[0], pair[1], f.c); ok {
			out := f.made(RemedyGroup, v, Evidence{"count", float64(want), "fish"}, Evidence{"count_now", float64(p.Individual.Count), "fish"})
			out.Statement.Actor = p.Species
			out.Counts[i] = want
			return out
		}
	}
	return nil
}
