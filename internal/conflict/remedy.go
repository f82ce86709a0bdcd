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

// The grids remedies are searched on: steps a keeper can carry out.
const (
	coverStep = 0.05
	maxCover  = 0.95
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
	f := finder{m: m, a: a, b: b, c: c, want: want}
	var out []Remedy
	for _, find := range []func() *Remedy{f.water, f.group, f.cover, f.tank} {
		if r := find(); r != nil {
			out = append(out, *r)
		}
	}
	if len(out) == 0 {
		if r := f.tankAndCover(); r != nil {
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

type finder struct {
	m    *Model
	a, b *Profile
	c    *Conditions
	want Level
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
	lo, hi := 0, len(StandardTanks) // the first size that reaches the level; it is monotone in size
	var score float64
	for lo < hi {
		mid := (lo + hi) / 2
		if _, ok := f.inTank(StandardTanks[mid], cover); ok {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	if lo == len(StandardTanks) {
		return nil
	}
	size := StandardTanks[lo]
	score, _ = f.inTank(size, cover)
	r := f.made(code, score, Evidence{"length", size.LengthCM, "cm"}, Evidence{"width", size.WidthCM, "cm"},
		Evidence{"cover", cover, "share"})
	r.Tank = &size
	return r
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

// water finds the least move of the worst reading towards the shared window.
func (f *finder) water() *Remedy {
	worst, stress := species.Temperature, 0.0
	for p := range species.Parameter(species.NumParameters) {
		if f.c.Reading[p].Known {
			if s := worstStress(f.a, f.b, f.c, p, typical); s > stress {
				worst, stress = p, s
			}
		}
	}
	wa, wb := &f.a.water[typical][worst], &f.b.water[typical][worst]
	if stress == 0 || !wa.known || !wb.known {
		return nil
	}
	now := f.c.Reading[worst].Value
	best, _ := compromise(wa, wb)
	step := math.Copysign(waterStep[worst], best-now)
	for to := now + step; (best-to)*step > -step*step; to += step {
		c := *f.c
		to = math.Round(to*100) / 100
		c.Reading[worst].Value = to
		if v, ok := f.reaches(f.a, f.b, &c); ok {
			unit := unitOf(worst)
			r := f.made(RemedyWater, v, Evidence{"from", now, unit}, Evidence{"to", to, unit})
			r.Statement.Words = []WordCode{parameterWord(worst)}
			r.Water = &WaterChange{worst, now, to}
			return r
		}
	}
	return nil
}

// group raises a shoal that is short of company to its smallest defensible number.
func (f *finder) group() *Remedy {
	for i, p := range []*Profile{f.a, f.b} {
		if p.shortfall == 0 {
			continue
		}
		r := reader{sp: p.Species, ind: p.Individual}
		want := int(math.Ceil(r.at(species.GroupMin, keptAs(p.Species, p.Individual), kinder)))
		ind := p.Individual
		ind.Count = want
		pair := [2]*Profile{f.a, f.b}
		raised := f.m.Profile(p.Species, ind)
		pair[i] = raised
		if f.a.Species.ID == f.b.Species.ID {
			pair = [2]*Profile{raised, raised}
		}
		if v, ok := f.reaches(pair[0], pair[1], f.c); ok {
			out := f.made(RemedyGroup, v, Evidence{"count", float64(want), "fish"}, Evidence{"count_now", float64(p.Individual.Count), "fish"})
			out.Statement.Actor = p.Species
			out.Counts[i] = want
			return out
		}
	}
	return nil
}
