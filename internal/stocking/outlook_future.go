package stocking

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking/graph"
)

// future is a list as it grows up. Every state of a line is computed once, when it is
// first asked for.
type future struct {
	*Assessment
	growers []grower // by line
	plain   bool     // every disposition is left aside
	out     graph.Set
	ground  [numPaces][]float64 // cm² defended by all lines but those out, by month; NaN when not yet known
	rises   []rise              // what today's check cannot see, by pairing
}

// grower is one line of the future.
type grower struct {
	growing bool
	paths   [numPaces]course
	at      [numPaces][]*conflict.Profile // by month
}

// foresee looks ahead at every pairing that a growing line is part of, as far as the
// decision needs it; without a growing line it costs nothing and future stays nil.
func (j *Assessment) foresee() {
	f := &future{Assessment: j}
	for i := range j.Lines {
		if c, ok := courseOf(&j.Lines[i], usual); ok {
			f.add(i, c)
		}
	}
	if f.growers != nil {
		j.future = f
		f.lookAhead()
	}
}

// lookAhead gathers the rises that today's check cannot see.
func (f *future) lookAhead() {
	for i := range f.Pairs {
		if f.Budget.Stopped() {
			return
		}
		p := &f.Pairs[i]
		if today := f.today(p); f.changes(p) && today < conflict.Severe {
			f.rises = append(f.rises, f.risesOf(p, today)...)
		}
	}
}

// today is a pairing's level in the check.
func (f *future) today(p *Pair) conflict.Level {
	if f.plain {
		return p.SpeciesLevel
	}
	return p.Level
}

// speciesDecision is what the future leads to with every disposition left aside.
func (f *future) speciesDecision() (d Decision) {
	plain := &future{Assessment: f.Assessment, plain: true, growers: make([]grower, len(f.growers))}
	for i := range f.growers {
		plain.growers[i] = grower{growing: f.growers[i].growing, paths: f.growers[i].paths}
	}
	plain.lookAhead()
	for i := range plain.rises {
		r := &plain.rises[i]
		d = max(d, discounted(r.decision, f.among(r.pair.First, r.pair.Second))) // as a finding about residents alone
	}
	return d
}

// add makes line i a growing one.
func (f *future) add(i int, c course) {
	if f.growers == nil {
		f.growers = make([]grower, len(f.Lines))
	}
	g := &f.growers[i]
	g.growing = true
	g.paths[usual] = c
	for _, p := range [...]pace{fast, slow} {
		g.paths[p], _ = courseOf(&f.Lines[i], p)
	}
}

// without is the same future when some lines are left out.
func (f *future) without(out graph.Set) *future {
	return &future{Assessment: f.Assessment, growers: f.growers, plain: f.plain, out: out}
}

// changes reports whether either side of a pairing grows.
func (f *future) changes(p *Pair) bool {
	return f.growers[p.First].growing || f.growers[p.Second].growing
}

// grown reports whether both sides of a pairing are adult in a month.
func (f *future) grown(p *Pair, month int, pc pace) bool {
	a, b := &f.growers[p.First], &f.growers[p.Second]
	return (!a.growing || a.paths[pc].grown <= float64(month)) && (!b.growing || b.paths[pc].grown <= float64(month))
}

// profile is a line in a month; in [Beyond] it is adult whenever that comes.
func (f *future) profile(line, month int, p pace) *conflict.Profile {
	g, r := &f.growers[line], &f.Lines[line]
	if !g.growing && f.plain {
		return r.Ordinary
	}
	if !g.growing {
		return r.Profile
	}
	if g.at[p] == nil {
		g.at[p] = make([]*conflict.Profile, Beyond+1)
	}
	at := &g.at[p][month]
	if *at == nil {
		ind := conflict.Individual{Sex: r.Sex, Youth: g.youth(month, p)}
		if !f.plain {
			ind.Observed, ind.MonthsObserved = r.Observed, r.MonthsObserved
		}
		*at = f.Book.For(r.Index, ind)
		if r.Count > 0 || r.Company != r.Fish {
			*at = (*at).InNumbers(r.Fish, r.Company)
		}
	}
	return *at
}

// youth is a growing line in a month; in [Beyond] it is adult whenever that comes.
func (g *grower) youth(month int, p pace) conflict.Youth {
	months := float64(month)
	if month >= Beyond {
		months = math.Inf(1)
	}
	return g.paths[p].youthAt(months)
}

// groundOf is the ground that a line defends in a month.
func (f *future) groundOf(i, month int, p pace) float64 {
	if g := &f.growers[i]; g.growing {
		return f.Lines[i].Profile.GroundAs(g.youth(month, p))
	}
	return f.Lines[i].Profile.Ground()
}

// linesToUnit is how many lines can be looked up for what a pairing costs.
const linesToUnit = 32

// groundAt is the ground that the whole list defends in a month.
func (f *future) groundAt(month int, p pace) float64 {
	if f.ground[p] == nil {
		f.ground[p] = make([]float64, Beyond+1)
		for i := range f.ground[p] {
			f.ground[p][i] = math.NaN()
		}
	}
	at := &f.ground[p][month]
	if math.IsNaN(*at) {
		*at = 0
		f.Budget.Spend(int64(len(f.Lines))/linesToUnit + 1)
		for i := range f.Lines {
			if !f.out.Has(i) {
				*at += f.groundOf(i, month, p)
			}
		}
	}
	return *at
}

// conditions are those of a pairing in a month, with the ground that the others then
// defend.
func (f *future) conditions(first, second, month int, p pace) conflict.Conditions {
	a, b := f.profile(first, month, p), f.profile(second, month, p)
	c := ConditionsIn(a, b, f.PairTank())
	if f.HasFootprint() {
		others := f.groundAt(month, p) - a.Ground()
		if first != second {
			others -= b.Ground()
		}
		c.OthersGroundCM2 = max(0, others)
	}
	return c
}

// levelAt is the level of a pairing in a month.
func (f *future) levelAt(p *Pair, month int, pc pace) conflict.Level {
	c := f.conditions(p.First, p.Second, month, pc)
	a, b := f.profile(p.First, month, pc), f.profile(p.Second, month, pc)
	score := f.Value(a, b, &c)
	if f.plain {
		return f.levelOf(f.Tank, p.First, p.Second, f.Lines[p.First].Ordinary, f.Lines[p.Second].Ordinary, score)
	}
	return f.LevelFor(p.First, p.Second, score)
}

// growth lists the growing lines, the sexes apart where they differ.
func (f *future) growth() (out []LineGrowth) {
	for i := range f.growers {
		g := &f.growers[i]
		if !g.growing {
			continue
		}
		sexes := []species.Sex{species.Unsexed}
		if a := &g.paths[usual].adult; a[species.Male] != a[species.Female] {
			sexes = []species.Sex{species.Male, species.Female}
		}
		adult := g.months(func(c *course) float64 { return c.grown })
		for _, sex := range sexes {
			out = append(out, LineGrowth{Line: i, Sex: sex, Adult: adult, paths: g.paths})
		}
	}
	return out
}

// months dates what a course says at all paces, up to whole months.
func (g *grower) months(of func(c *course) float64) Months {
	var m [numPaces]int
	for p := range m {
		m[p] = Beyond
		if month := math.Ceil(of(&g.paths[p]) - 1e-9); month <= MaxMonths {
			m[p] = max(0, int(month))
		}
	}
	return Months{min(m[fast], m[usual], m[slow]), m[usual], max(m[fast], m[usual], m[slow])}
}

// ShareFuture prepares the list's growing lines so that judging parts of it does not read their
// fish anew. It scores no pairing.
func (j *Assessment) ShareFuture() {
	j.foresee()
	if j.future == nil {
		return
	}
	for i := range j.future.growers {
		j.future.growers[i].at[usual] = make([]*conflict.Profile, Beyond+1)
	}
}

// Growing reports whether a line of a list that shares its future grows.
func (j *Assessment) Growing(line int) bool { return j.future != nil && j.future.growers[line].growing }

// ProfileIn is a line of a list that shares its future in a month at the usual pace.
func (j *Assessment) ProfileIn(month, line int) *conflict.Profile {
	return j.future.profile(line, month, usual)
}

// GroundIn is the ground in cm² that a line of a list that shares its future defends in a
// month at the usual pace.
func (j *Assessment) GroundIn(month, line int) float64 {
	if j.future == nil {
		return j.Lines[line].Ground
	}
	return j.future.groundOf(line, month, usual)
}

// JudgePart judges some lines in a tank as [Assessment.Judge] would, with the growing fish of
// a list that shares its future.
func (j *Assessment) JudgePart(tank *Tank, lines []int) *Assessment {
	p := j.Part(tank, lines)
	p.judgePairs()
	p.apart = p.waterApart()
	p.Load = p.loadOf()
	if j.future != nil {
		f := &future{Assessment: p, growers: make([]grower, len(lines))}
		for k, i := range lines {
			f.growers[k] = j.future.growers[i]
		}
		p.future = f
		f.lookAhead()
	}
	p.Budget.Spend(int64(UnitsJudging + UnitsFinding*len(p.Lines)))
	p.Findings = p.find()
	p.Decide()
	return p
}

// SoonMonths are the months in which a pairing that rises above the wanted level is a stop,
// see [future.soon].
func SoonMonths() []int {
	for n, month := range coarse {
		if month == HoldWithin {
			return coarse[:n+1]
		}
	}
	return nil
}

// Grows reports whether a judged list has lines that grow.
func (j *Assessment) Grows() bool { return j.future != nil }
